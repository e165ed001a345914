import { describe, expect, it } from 'vitest';
import { KMH } from '../../src/config/units.ts';
import { parseCycle } from '../../src/cycle/read.ts';
import { traceFromSamples } from '../../src/cycle/samples.ts';
import type { Trace } from '../../src/cycle/trace.ts';
import { type PlainNotes, writePlain } from '../../src/output/cycle-plain.ts';
import { randomDrive, roadsOf } from '../cycle/drives.ts';
import { seeded } from '../seeded.ts';
import { Worst } from '../within.ts';

function plain(trace: Trace, notes: PlainNotes = { comments: [] }): string {
  const pieces: string[] = [];
  writePlain(trace, notes, (text) => pieces.push(text));
  return pieces.join('');
}

const readBack = (text: string): Trace => parseCycle(text, { file: 'x.csv', name: 'x' });

describe('a cycle in the plain form', () => {
  it('has times and speeds, and comments above them, on one line each', () => {
    const trace = traceFromSamples({
      name: 'x',
      time: Float64Array.of(0, 1.5, 3),
      speed: Float64Array.of(0, 36 * KMH, 0),
    });
    expect(plain(trace, { comments: ['made by hand', ' two\n  lines'] })).toBe(
      '# made by hand\n# two lines\ntime_s,speed_kmh\n0,0\n1.5,36\n3,0\n',
    );
  });

  it('gives back every speed in km/h digit for digit', () => {
    const random = seeded(610);
    const texts = Array.from({ length: 5000 }, () =>
      String(Number((200 * random()).toFixed(Math.floor(5 * random())))),
    );
    const rows = texts.map((text, k) => `${k},${text}\n`).join('');
    const text = `time_s,speed_kmh\n${rows}`;
    expect(plain(readBack(text))).toBe(text);
  });

  it('gives back speeds of any other unit within the last bit, and times exactly', () => {
    const random = seeded(611);
    const worst = new Worst();
    for (let drive = 0; drive < 50; drive++) {
      const [samples] = roadsOf(randomDrive(random));
      const trace = traceFromSamples(samples!);
      const back = readBack(plain(trace));
      expect(back.time).toEqual(trace.time);
      for (const [k, speed] of trace.speed.entries()) {
        worst.see(speed === 0 ? back.speed[k]! : Math.abs(back.speed[k]! / speed - 1), () =>
          String(speed),
        );
      }
    }
    // One unit in the last place of a double is up to 2^-52 of it.
    worst.expectAtMost(2 ** -52);
  });

  it('gives back heights to the last bit where its first altitude is known', () => {
    const trace = readBack('time_s,speed_kmh,altitude_m\n0,0,182.83\n10,36,183.1\n20,0,181.05\n');
    const text = plain(trace, { comments: [], startAltitude: 182.83 });
    expect(text).toBe('time_s,speed_kmh,altitude_m\n0,0,182.83\n10,36,183.1\n20,0,181.05\n');
  });

  it('counts heights from the lowest point where no altitude is known', () => {
    const trace = readBack('time_s,speed_kmh,altitude_m\n0,0,20\n10,36,22\n20,36,12\n30,0,16\n');
    expect(plain(trace)).toBe(
      '# altitude_m counts from the lowest point of the cycle\n' +
        'time_s,speed_kmh,altitude_m\n0,0,8\n10,36,10\n20,36,0\n30,0,4\n',
    );
  });

  it('gives back the climbs of any road, and its level distances but for slopes within a step', () => {
    const random = seeded(612);
    const climb = new Worst();
    const level = new Worst();
    for (let drive = 0; drive < 50; drive++) {
      for (const samples of roadsOf(randomDrive(random))) {
        const trace = traceFromSamples(samples);
        const back = readBack(plain(trace, { comments: [], startAltitude: 500 }));
        for (const [k, height] of trace.climb.entries()) {
          climb.see(Math.abs(back.climb[k]! - height), () => `${samples.name} ${k}`);
          const length = Math.hypot(trace.level[k]!, height);
          level.see(Math.abs(back.level[k]! - trace.level[k]!) / (length || 1), () => `${k}`);
        }
      }
    }
    // Heights of up to some 1000 m are rounded at 1e-13 m each.
    climb.expectAtMost(1e-11);
    // A grade that changes by 2 % within a step: cos θ differs by less than 0.02²/8 from that of its mean.
    level.expectAtMost(0.02 ** 2 / 8);
  });

  it('has no altitude on a flat road', () => {
    const trace = readBack('time_s,speed_kmh,altitude_m\n0,0,7\n10,36,7\n20,0,7\n');
    expect(plain(trace, { comments: [], startAltitude: 7 })).not.toContain('altitude');
  });
});
