import { describe, expect, it } from 'vitest';
import { resample } from '../../src/cycle/resample.ts';
import { traceFromSamples } from '../../src/cycle/samples.ts';
import {
  altitudeChange,
  distance,
  duration,
  intervalDistance,
  maxSpeed,
  refine,
  type Trace,
} from '../../src/cycle/trace.ts';
import { cycleNamed } from '../fixtures.ts';
import { seeded } from '../seeded.ts';
import { randomDrive, roadsOf } from './drives.ts';

function sum(values: Float64Array): number {
  return values.reduce((total, value) => total + value, 0);
}

describe('a resampled trace', () => {
  it('has the speeds on the lines at even instants, and keeps its end', () => {
    const trace: Trace = {
      name: 'hand',
      time: Float64Array.of(0, 3, 5),
      speed: Float64Array.of(0, 12, 4),
      climb: Float64Array.of(1.8, -0.8),
      level: Float64Array.of(Math.sqrt(18 ** 2 - 1.8 ** 2), Math.sqrt(16 ** 2 - 0.8 ** 2)),
    };
    const { trace: even, distanceChange, climbLeft } = resample(trace, 2);
    expect([...even.time]).toEqual([0, 2, 4, 5]);
    expect([...even.speed]).toEqual([0, 8, 8, 4]);
    // 8 m, 10 + 10 m and 6 m driven; the new trace cuts the corner at 12 m/s: 16 m for 20.
    expect(distanceChange).toBe(-4);
    // 8 of 18 m of the first slope; the other 10 m and 10 of 16 m of the second; the rest.
    const climbs = [0.8, 1 - 0.5, -0.3];
    for (const [k, climb] of climbs.entries()) expect(even.climb[k]).toBeCloseTo(climb, 14);
    expect(climbLeft).toBeCloseTo(0, 14);
  });

  it('is the same where the instants hit every sample', () => {
    for (const name of ['nedc', 'udds']) {
      const trace = cycleNamed(name);
      const { trace: same, distanceChange } = resample(trace, 1);
      expect(same).toEqual(trace);
      expect(distanceChange).toBe(0);
    }
  });

  it.each([2, 4, 5])('of a refined random drive at 1 Hz comes back (%d parts)', (parts) => {
    const random = seeded(90 + parts);
    for (let drive = 0; drive < 30; drive++) {
      const irregular = randomDrive(random);
      const even = { ...irregular, time: irregular.time.map((_, k) => k) };
      // Slopes fit for the altered steps.
      even.altitude.fill(100);
      for (const samples of roadsOf(even)) {
        const trace = traceFromSamples(samples);
        const { trace: back } = resample(refine(trace, parts), 1);
        expect(back.time).toEqual(trace.time);
        const tolerance = 1e-12 * distance(trace);
        for (let k = 0; k < trace.climb.length; k++) {
          expect(Math.abs(back.speed[k]! - trace.speed[k]!)).toBeLessThan(1e-13);
          expect(Math.abs(back.climb[k]! - trace.climb[k]!)).toBeLessThan(tolerance);
          expect(Math.abs(back.level[k]! - trace.level[k]!)).toBeLessThan(tolerance);
        }
      }
    }
  });

  it('of an unevenly sampled drive keeps duration and height, and says what became of the distance', () => {
    const random = seeded(96);
    let greatest = 0;
    for (let drive = 0; drive < 50; drive++) {
      for (const samples of roadsOf(randomDrive(random))) {
        const trace = traceFromSamples(samples);
        const { trace: even, distanceChange, climbLeft } = resample(trace, 0.7);
        expect(duration(even)).toBe(duration(trace));
        expect(maxSpeed(even)).toBeLessThanOrEqual(maxSpeed(trace));
        const tolerance = 1e-12 * distance(trace);
        expect(Math.abs(altitudeChange(even) + climbLeft - altitudeChange(trace))).toBeLessThan(
          tolerance,
        );
        expect(Math.abs(distance(even) - distance(trace) - distanceChange)).toBeLessThan(tolerance);
        for (let k = 0; k < even.climb.length; k++) {
          const driven = intervalDistance(even.time, even.speed, k);
          expect(Math.hypot(even.climb[k]!, even.level[k]!)).toBeLessThanOrEqual(
            driven * (1 + 1e-12),
          );
        }
        greatest = Math.max(greatest, Math.abs(distanceChange) / distance(trace));
      }
    }
    // Speeds that leap at random within a step are the worst case: some per cent.
    expect(greatest).toBeGreaterThan(1e-3);
    expect(greatest).toBeLessThan(0.2);
  });

  it('comes nearer to the distance with the square of the step', () => {
    // A smooth speed: the error of the trapezoids is of second order.
    const time = Float64Array.from({ length: 40_001 }, (_, k) => k / 100);
    const speed = time.map((t) => 15 + 10 * Math.sin(t / 7) ** 2);
    const trace = traceFromSamples({ name: 'smooth', time, speed });
    const errors = [4, 2, 1].map((step) => Math.abs(resample(trace, step).distanceChange));
    for (let k = 1; k < errors.length; k++) {
      const order = Math.log2(errors[k - 1]! / errors[k]!);
      expect(Math.abs(order - 2)).toBeLessThan(0.2);
    }
  });

  it('climbs later what it cannot climb at rest', () => {
    // Moves only between whole seconds: at 1 Hz it seems to stand until 2 s.
    const trace = traceFromSamples({
      name: 'hop',
      time: Float64Array.of(0, 0.5, 1, 2, 3, 4),
      speed: Float64Array.of(0, 8, 0, 0, 6, 6),
      road: { kind: 'altitude', altitude: Float64Array.of(0, 0.2, 0.4, 0.4, 0.5, 0.6) },
    });
    const { trace: even, climbLeft, distanceChange } = resample(trace, 1);
    expect([...even.climb].map((climb) => Number(climb.toFixed(12)))).toEqual([0, 0, 0.5, 0.1]);
    expect(climbLeft).toBe(0);
    expect(distanceChange).toBe(-4);
    expect(sum(even.level)).toBeGreaterThan(8.8);
  });

  it('is refused for a step that is none', () => {
    expect(() => resample(cycleNamed('nedc'), 0)).toThrow(RangeError);
    expect(() => resample(cycleNamed('nedc'), Number.NaN)).toThrow(RangeError);
  });
});
