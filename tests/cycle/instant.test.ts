import { describe, expect, it } from 'vitest';
import { Instant } from '../../src/cycle/instant.ts';
import { oneOf, seeded } from '../seeded.ts';

const encoder = new TextEncoder();
const instant = new Instant();

function dateTime(text: string): boolean {
  const bytes = encoder.encode(text);
  return instant.readDateTime(bytes, 0, bytes.length);
}

function clock(text: string): boolean {
  const bytes = encoder.encode(text);
  return instant.readClock(bytes, 0, bytes.length);
}

describe('a date with time', () => {
  it('is the instant that the platform takes it for, for random instants and zones', () => {
    const random = seeded(31);
    for (let trial = 0; trial < 20_000; trial++) {
      // 1900 to 2100, in whole milliseconds
      const ms = Math.floor(-2.2e12 + 6.3e12 * random());
      const minutes = Math.floor(24 * 60 * random()) * oneOf(random, [1, -1]);
      const local = new Date(ms + minutes * 60_000).toISOString().slice(0, -1);
      if (Number(local.slice(0, 4)) < 1900) continue;
      const zone = `${minutes < 0 ? '-' : '+'}${new Date(Math.abs(minutes) * 60_000).toISOString().slice(11, 16)}`;
      expect(dateTime(local + zone)).toBe(true);
      expect(instant.isZoned).toBe(true);
      expect(instant.seconds * 1000 + instant.nanos / 1e6).toBe(ms);
    }
  });

  it.each([
    '2024-05-01T10:00:00+02:00',
    '2024-05-01T10:00:00+0200',
    '2024-05-01t10:00:00+02',
    '2024-05-01 08:00:00Z',
    '2024-05-01T08:00z',
    '2024-05-01T08:00:00.000Z',
    '2024-05-01T08:00:00,0Z',
    '2024-05-01T07:59:60Z',
  ])('may be written %s', (text) => {
    expect(dateTime(text)).toBe(true);
    expect(instant.isZoned).toBe(true);
    expect(instant.seconds).toBe(Date.UTC(2024, 4, 1, 8) / 1000);
    expect(instant.nanos).toBe(0);
  });

  it('keeps nanoseconds, so that differences are exact', () => {
    dateTime('2024-05-01T08:00:00.1Z');
    const [seconds, nanos] = [instant.seconds, instant.nanos];
    expect(nanos).toBe(100_000_000);
    dateTime('2024-05-01T08:00:00.3Z');
    expect(instant.since(seconds, nanos)).toBe(0.2);
    dateTime('2024-05-02T08:00:00.100000001999Z');
    expect(instant.since(seconds, nanos)).toBe(86_400.000_000_001);
  });

  it('tells when it lacks its zone', () => {
    expect(dateTime('2024-05-01T08:00:00')).toBe(true);
    expect(instant.isZoned).toBe(false);
  });

  it.each([
    '',
    '2024-05-01',
    '2024-02-30T08:00:00Z',
    '2023-02-29T08:00:00Z',
    '1900-02-29T08:00:00Z',
    '2024-13-01T08:00:00Z',
    '2024-00-01T08:00:00Z',
    '2024-05-00T08:00:00Z',
    '2024-05-01T24:00:00Z',
    '2024-05-01T08:60:00Z',
    '2024-05-01T08:00:61Z',
    '2024-05-01T08:00:00.Z',
    '2024-05-01T08:00:00 Z',
    '2024-05-01T08:00:00Zx',
    '2024-05-01T08:00:00+2',
    '2024-05-01T08:00:00+02:',
    '2024-05-01T08:00:00+24:00',
    '24-05-01T08:00:00Z',
    '01.05.2024 08:00:00',
    '0024-05-01T08:00:00Z',
    '20240501T080000Z',
    '1714550400',
  ])('is refused as %j', (text) => {
    expect(dateTime(text)).toBe(false);
  });

  it('takes the 29th of February of leap years', () => {
    expect(dateTime('2024-02-29T00:00:00Z')).toBe(true);
    expect(dateTime('2000-02-29T00:00:00Z')).toBe(true);
  });
});

describe('a time by the clock', () => {
  it.each([
    ['0:00', 0, 0],
    ['08:05:00', 29_100, 0],
    ['8:05:00.25', 29_100, 250_000_000],
    ['123:00:01,5', 442_801, 500_000_000],
  ])('%s is %d s and %d ns', (text, seconds, nanos) => {
    expect(clock(text)).toBe(true);
    expect([instant.seconds, instant.nanos]).toEqual([seconds, nanos]);
  });

  it.each([
    '',
    ':',
    '8',
    '8:5:00',
    '8:60:00',
    '8:00:60',
    '8:00:00.',
    '8:00:00 ',
    '1e3:00:00',
    '99999999:00',
  ])('is refused as %j', (text) => {
    expect(clock(text)).toBe(false);
  });
});
