import { describe, expect, it } from 'vitest';
import { traceFromSamples } from '../../src/cycle/samples.ts';
import {
  altitudeChange,
  distance,
  duration,
  intervalCount,
  maxSpeed,
  meanSpeed,
  refine,
  type Trace,
} from '../../src/cycle/trace.ts';
import { seeded } from '../seeded.ts';
import { randomDrive, roadsOf } from './drives.ts';

/** Accelerates to 10 m/s in 4 s, holds it for 2 s, stops in 5 s, stands for 1 s; climbs 3 m. */
const trace: Trace = {
  name: 'hand',
  time: Float64Array.of(10, 14, 16, 21, 22),
  speed: Float64Array.of(0, 10, 10, 0, 0),
  climb: Float64Array.of(2, 2, -1, 0),
  level: Float64Array.of(19.9, 19.9, 24.98, 0),
};

function sum(values: Float64Array): number {
  return values.reduce((total, value) => total + value, 0);
}

describe('the totals of a trace', () => {
  it('are those of the drive computed by hand', () => {
    expect(intervalCount(trace)).toBe(4);
    expect(duration(trace)).toBe(12);
    // 20 m + 20 m + 25 m
    expect(distance(trace)).toBe(65);
    expect(meanSpeed(trace)).toBe(65 / 12);
    expect(maxSpeed(trace)).toBe(10);
    expect(altitudeChange(trace)).toBe(3);
  });
});

describe('refine', () => {
  it('cuts a ramp into parts whose speeds lie on the ramp and whose climb goes by distance', () => {
    const fine = refine(trace, 2);
    expect([...fine.time]).toEqual([10, 12, 14, 15, 16, 18.5, 21, 21.5, 22]);
    expect([...fine.speed]).toEqual([0, 5, 10, 10, 10, 5, 0, 0, 0]);
    // The first half of the ramp covers 5 m of its 20 m, so it climbs a quarter of its 2 m.
    expect([...fine.climb]).toEqual([0.5, 1.5, 1, 1, -0.75, -0.25, 0, 0]);
  });

  it('into one part gives the same trace', () => {
    expect(refine(trace, 1)).toEqual(trace);
  });

  it.each([0, -1, 1.5, Number.NaN])('refuses %d parts', (parts) => {
    expect(() => refine(trace, parts)).toThrow(RangeError);
  });

  it.each([2, 3, 10])('into %d parts changes no total of a random drive', (parts) => {
    const random = seeded(20_000 + parts);
    for (let drive = 0; drive < 50; drive++) {
      for (const samples of roadsOf(randomDrive(random))) {
        const coarse = traceFromSamples(samples);
        const fine = refine(coarse, parts);
        expect(intervalCount(fine)).toBe(parts * intervalCount(coarse));
        expect(duration(fine)).toBe(duration(coarse));
        expect(maxSpeed(fine)).toBe(maxSpeed(coarse));
        // Relative to the distance: only rounding may differ, and 2000 additions at 1e-16 each
        // stay below 1e-12.
        const tolerance = 1e-12 * distance(coarse);
        expect(Math.abs(distance(fine) - distance(coarse))).toBeLessThan(tolerance);
        expect(Math.abs(sum(fine.climb) - sum(coarse.climb))).toBeLessThan(tolerance);
        expect(Math.abs(sum(fine.level) - sum(coarse.level))).toBeLessThan(tolerance);
      }
    }
  });

  it('keeps the slope of a road of constant grade in every part', () => {
    const samples = {
      name: 'hill',
      time: Float64Array.of(0, 10, 20),
      speed: Float64Array.of(0, 20, 5),
      road: { kind: 'grade', grade: Float64Array.of(0.06, 0.06, 0.06) } as const,
    };
    const fine = refine(traceFromSamples(samples), 7);
    for (let k = 0; k < intervalCount(fine); k++) {
      expect(fine.climb[k]! / fine.level[k]!).toBeCloseTo(0.06, 14);
    }
  });
});
