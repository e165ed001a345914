import { describe, expect, it } from 'vitest';
import { PlainForm } from '../../src/cycle/plain-form.ts';

const encoder = new TextEncoder();

/** Whether a text is in the plain form, if it comes in one piece. */
function isPlain(text: string): boolean {
  const form = new PlainForm();
  return form.push(encoder.encode(text)) ?? form.end();
}

describe('the plain form of a cycle', () => {
  it.each([
    'time_s,speed_kmh\n0,0\n',
    'time_s,speed_mph\n0,0\n',
    'speed_m_per_s,time_s\n0,0\n',
    'time_s,speed_mps\n0,0\n',
    'time_s,speed_kmh,altitude_m\n0,0,1\n',
    'grade_pct,time_s,speed_kmh\n0,0,1\n',
    '\uFEFF# made by hand\r\n\r\n"time_s", speed_kmh \r\n0,0\r\n',
    'time_s,speed_kmh',
    'time_s,speed_kmh\nx,y\n',
  ])('is found in %j', (text) => {
    expect(isPlain(text)).toBe(true);
  });

  it.each([
    ['another column', 'time_s,speed_kmh,rpm\n0,0,0\n'],
    ['another name', 'time_s,v_kmh\n0,0\n'],
    ['another unit', 'time_ms,speed_kmh\n0,0\n'],
    ['letter case', 'Time_s,speed_kmh\n0,0\n'],
    ['a column twice', 'time_s,speed_kmh,speed_mph\n0,0,0\n'],
    ['both roads', 'time_s,speed_kmh,altitude_m,grade_pct\n0,0,0,0\n'],
    ['a row of units', 'time_s,speed_kmh\ns,km/h\n0,0\n'],
    ['another delimiter', 'time_s;speed_kmh\n0;0\n'],
    ['no header', '0,0\n1,3\n'],
    ['a missing column', 'time_s,altitude_m\n0,0\n'],
    ['GPX', '<?xml version="1.0"?>\n<gpx>\n</gpx>\n'],
    ['nothing', '\n\n'],
    ['no text', '\0\0\0'],
  ])('is not found where there is %s', (_, text) => {
    expect(isPlain(text)).toBe(false);
  });

  it('is told as soon as the row below the header is there, in pieces of any size', () => {
    const form = new PlainForm();
    const answers = [...'# x\ntime_s,speed_kmh\n0,0\n'].map((c) => form.push(encoder.encode(c)));
    expect(answers.slice(0, -1).every((answer) => answer === undefined)).toBe(true);
    expect(answers.at(-1)).toBe(true);
  });
});
