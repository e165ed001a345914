import { describe, expect, it } from 'vitest';
import { DEGREE } from '../../src/config/units.ts';
import { distanceBetween, EARTH_RADIUS, PositionSpeeds } from '../../src/cycle/positions.ts';
import { seeded } from '../seeded.ts';

/** Speeds of rows of [time, latitude, longitude] in s and degrees; NaN where there is none. */
function speedsOf(rows: readonly (readonly [number, number, number])[]): number[] {
  const speeds = rows.map(() => Number.NaN);
  const positions = new PositionSpeeds((row, speed) => {
    speeds[row] = speed;
  });
  for (const [row, [time, latitude, longitude]] of rows.entries()) {
    positions.add(row, time, latitude * DEGREE, longitude * DEGREE);
  }
  positions.breakOff();
  return speeds;
}

/** Degrees of latitude of so many metres. */
function north(metres: number): number {
  return metres / EARTH_RADIUS / DEGREE;
}

function rounded(values: readonly number[]): number[] {
  return values.map((value) => Number(value.toFixed(6)));
}

describe('distanceBetween', () => {
  it('is the arc along a meridian and along the equator', () => {
    // One minute of arc of the mean radius: 6 371 008.77 m · π / 180 / 60
    expect(distanceBetween(0, 0, DEGREE / 60, 0)).toBeCloseTo(1853.2513, 3);
    expect(distanceBetween(0, 0, 0, DEGREE / 60)).toBeCloseTo(1853.2513, 3);
    expect(distanceBetween(0, 0, 0, Math.PI)).toBeCloseTo(Math.PI * EARTH_RADIUS, 3);
    expect(distanceBetween(Math.PI / 2, 0, -Math.PI / 2, 2)).toBeCloseTo(Math.PI * EARTH_RADIUS, 3);
  });

  it('is the angle between two directions from the middle of the earth, for random positions', () => {
    const random = seeded(41);
    for (let trial = 0; trial < 1000; trial++) {
      const [a, b] = [Math.PI * (random() - 0.5), Math.PI * (random() - 0.5)];
      const [c, d] = [2 * Math.PI * random(), 2 * Math.PI * random()];
      const cosine = Math.sin(a) * Math.sin(b) + Math.cos(a) * Math.cos(b) * Math.cos(c - d);
      // The arc cosine loses digits near 1 and -1: 1e-8 rad there, 6 cm.
      expect(Math.abs(distanceBetween(a, c, b, d) - EARTH_RADIUS * Math.acos(cosine))).toBeLessThan(
        0.1,
      );
    }
  });

  it('keeps its digits for a millimetre, and across the date line', () => {
    const here = 48 * DEGREE;
    // 1e-3 m in 0.84 rad: a double keeps 1e-16 rad, 1e-9 m.
    expect(distanceBetween(here, 0, here + 1e-3 / EARTH_RADIUS, 0)).toBeCloseTo(1e-3, 8);
    expect(distanceBetween(0, Math.PI - 1e-6, 0, 1e-6 - Math.PI)).toBeCloseTo(
      2e-6 * EARTH_RADIUS,
      5,
    );
  });
});

describe('speeds from positions', () => {
  it('are the mean of the two intervals beside a sample, over their time', () => {
    // 10 m in 1 s, 30 m in 2 s, 0 m in 1 s: 10, 40/3, 30/3, 0 m/s
    const speeds = speedsOf([
      [0, 48, 9],
      [1, 48 + north(10), 9],
      [3, 48 + north(40), 9],
      [4, 48 + north(40), 9],
    ]);
    expect(rounded(speeds)).toEqual([10, 13.333333, 10, 0]);
  });

  it('keep the distance of random drives, however unevenly sampled', () => {
    const random = seeded(42);
    for (let drive = 0; drive < 100; drive++) {
      const rows: [number, number, number][] = [];
      let [time, latitude, longitude] = [0, 60 * random(), 20 * random()];
      let distance = 0;
      for (let k = 0; k < 2 + 200 * random(); k++) {
        const last = rows.at(-1);
        rows.push([time, latitude, longitude]);
        if (last !== undefined) {
          distance += distanceBetween(
            last[1] * DEGREE,
            last[2] * DEGREE,
            latitude * DEGREE,
            longitude * DEGREE,
          );
        }
        time += 0.1 + 10 * random();
        latitude += 2e-4 * (random() - 0.3);
        longitude += 2e-4 * (random() - 0.5);
      }
      const speeds = speedsOf(rows);
      let driven = 0;
      for (let k = 1; k < rows.length; k++) {
        driven += 0.5 * (speeds[k - 1]! + speeds[k]!) * (rows[k]![0] - rows[k - 1]![0]);
      }
      // Rounding of some hundred additions
      expect(Math.abs(driven - distance)).toBeLessThan(1e-12 * 200 * distance);
    }
  });

  it('pass over rows without a position, at the same instant or a little out of order', () => {
    const speeds = speedsOf([
      [0, 48, 9],
      [1, Number.NaN, 9],
      [2, 48 + north(20), 9],
      [2, 48 + north(21), 9],
      [1.5, 48, 9],
      [3, 48 + north(30), 9],
    ]);
    expect(rounded(speeds)).toEqual([10, Number.NaN, 10, Number.NaN, Number.NaN, 10]);
  });

  it('begin anew where the clock is set back', () => {
    const speeds = speedsOf([
      [100, 48, 9],
      [101, 48 + north(10), 9],
      [50, 48 + north(30), 9],
      [51, 48 + north(50), 9],
    ]);
    expect(rounded(speeds)).toEqual([10, 10, 20, 20]);
  });

  it('do not take the mean of a long interval for the speed at its ends, if there is another', () => {
    const speeds = speedsOf([
      [0, 48, 9],
      [1, 48 + north(10), 9],
      [61, 48 + north(10), 9],
      [62, 48 + north(30), 9],
      [102, 48 + north(70), 9],
    ]);
    // The last one has nothing but the long interval: 40 m in 40 s.
    expect(rounded(speeds)).toEqual([10, 10, 20, 20, 1]);
  });

  it('do not exist for a single position', () => {
    expect(speedsOf([[0, 48, 9]])).toEqual([Number.NaN]);
  });
});
