import { describe, expect, it } from 'vitest';
import { type RoadSamples, roadIntegrals } from '../../src/cycle/road.ts';
import { seeded } from '../seeded.ts';
import { randomDrive } from './drives.ts';

/** Relative; a few roundings of a double. */
const ROUNDING = 1e-14;

function sum(values: Float64Array): number {
  return values.reduce((total, value) => total + value, 0);
}

/** The samples of a column read at `parts` times as many instants, linear in time. */
function interpolated(column: Float64Array, parts: number): Float64Array {
  const intervals = column.length - 1;
  const fine = new Float64Array(intervals * parts + 1);
  for (let i = 0; i < fine.length; i++) {
    const k = Math.min(Math.floor(i / parts), intervals - 1);
    const share = (i - k * parts) / parts;
    fine[i] = column[k]! + share * (column[k + 1]! - column[k]!);
  }
  return fine;
}

describe('a flat road', () => {
  it('is as long as the distance driven, and climbs nothing', () => {
    const { climb, level } = roadIntegrals(Float64Array.of(0, 2, 3), Float64Array.of(0, 10, 20), {
      kind: 'flat',
    });
    expect([...level]).toEqual([10, 15]);
    expect([...climb]).toEqual([0, 0]);
  });
});

describe('a road given by its grade', () => {
  it('of 3/4 rises 3 m and goes 4 m forward for every 5 m driven', () => {
    // Steeper than any road, for its whole numbers: the integrals hold for every slope.
    const { climb, level } = roadIntegrals(Float64Array.of(0, 2), Float64Array.of(0, 10), {
      kind: 'grade',
      grade: Float64Array.of(0.75, 0.75),
    });
    expect(climb[0]).toBeCloseTo(6, 13);
    expect(level[0]).toBeCloseTo(8, 13);
  });

  it('that steepens at constant speed agrees with the closed form of the integral', () => {
    // τ = tan θ linear from a to b at speed v for T:
    // ∫ sin θ v dt = v T (√(1+b²) - √(1+a²)) / (b - a) = v T (a + b) / (√(1+a²) + √(1+b²)),
    // ∫ cos θ v dt = v T (asinh b - asinh a) / (b - a)
    const [a, b, v, T] = [0.01, 0.03, 25, 2];
    const { climb, level } = roadIntegrals(Float64Array.of(5, 5 + T), Float64Array.of(v, v), {
      kind: 'grade',
      grade: Float64Array.of(a, b),
    });
    const climbed = (v * T * (a + b)) / (Math.sqrt(1 + a * a) + Math.sqrt(1 + b * b));
    const gone = (v * T * (Math.asinh(b) - Math.asinh(a))) / (b - a);
    // The rule's own error is near 1e-13 of the climb for 2 % in an interval.
    expect(Math.abs(climb[0]! - climbed)).toBeLessThan(5e-13 * climbed);
    expect(Math.abs(level[0]! - gone)).toBeLessThan(5e-13 * gone);
  });

  it.each([2, 3, 10])('does not change when it is sampled %d times as finely', (parts) => {
    const random = seeded(30_000 + parts);
    for (let drive = 0; drive < 50; drive++) {
      const { time, speed, grade } = randomDrive(random);
      const coarse = roadIntegrals(time, speed, { kind: 'grade', grade });
      const fine = roadIntegrals(interpolated(time, parts), interpolated(speed, parts), {
        kind: 'grade',
        grade: interpolated(grade, parts),
      });
      const tolerance = 1e-12 * sum(coarse.level);
      expect(Math.abs(sum(fine.climb) - sum(coarse.climb))).toBeLessThan(tolerance);
      expect(Math.abs(sum(fine.level) - sum(coarse.level))).toBeLessThan(tolerance);
    }
  });
});

describe('a road given by its altitude', () => {
  const altitudes = (...altitude: number[]): RoadSamples => ({
    kind: 'altitude',
    altitude: Float64Array.from(altitude),
  });

  it('climbs the difference of altitude; distance and height give the horizontal part', () => {
    // 10 m and 26 m driven
    const road = altitudes(100, 106, 96);
    const { climb, level } = roadIntegrals(
      Float64Array.of(0, 1, 3),
      Float64Array.of(10, 10, 16),
      road,
    );
    expect([...climb]).toEqual([6, -10]);
    expect([...level]).toEqual([8, 24]);
  });

  it('does no work on a standing car: it climbs a drift when it moves off', () => {
    const { climb, level } = roadIntegrals(
      Float64Array.of(0, 1, 2, 3, 4),
      Float64Array.of(10, 0, 0, 0, 10),
      altitudes(100, 100, 100.03, 100.04, 100.5),
    );
    expect(climb[1]).toBe(0);
    expect(climb[2]).toBe(0);
    expect(level[2]).toBe(0);
    expect(climb[3]).toBe(0.5);
    expect(sum(climb)).toBe(0.5);
  });

  it('adds up to the whole change of altitude over random drives', () => {
    const random = seeded(40_000);
    for (let drive = 0; drive < 50; drive++) {
      const { time, speed, altitude } = randomDrive(random);
      const { climb, level } = roadIntegrals(time, speed, { kind: 'altitude', altitude });
      const change = altitude.at(-1)! - altitude[0]!;
      expect(Math.abs(sum(climb) - change)).toBeLessThan(ROUNDING * 220 * 500);
      for (let k = 0; k < climb.length; k++) {
        const driven = 0.5 * (speed[k]! + speed[k + 1]!) * (time[k + 1]! - time[k]!);
        expect(Math.abs(Math.hypot(climb[k]!, level[k]!) - driven)).toBeLessThanOrEqual(
          ROUNDING * driven,
        );
      }
    }
  });
});
