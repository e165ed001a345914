import { describe, expect, it } from 'vitest';
import { cumulativeGain, type SmoothedAltitude, smoothAltitude } from '../../src/cycle/grade.ts';
import type { Motion } from '../../src/cycle/motion.ts';
import { traceFromSamples } from '../../src/cycle/samples.ts';
import { altitudeChange, distance, intervalDistance } from '../../src/cycle/trace.ts';
import { GRAVITY } from '../../src/physics/air.ts';
import { seeded } from '../seeded.ts';
import { normal } from './noise.ts';

/** A drive at 1 Hz with stops, 1 to 30 m/s, over a road given by its height at each distance. */
function drive(
  seconds: number,
  height: (metres: number) => number,
  random: () => number,
  noise = 0,
): { motion: Motion; altitude: Float64Array; driven: Float64Array } {
  const time = Float64Array.from({ length: seconds + 1 }, (_, k) => k);
  const speed = new Float64Array(seconds + 1);
  const driven = new Float64Array(seconds + 1);
  const altitude = new Float64Array(seconds + 1);
  altitude[0] = height(0);
  for (let k = 1; k <= seconds; k++) {
    const phase = k % 240;
    speed[k] = phase > 210 ? 0 : Math.max(1, 15 + 14 * Math.sin(k / 35));
    driven[k] = driven[k - 1]! + intervalDistance(time, speed, k - 1);
    altitude[k] = height(driven[k]!) + noise * normal(random);
  }
  return { motion: { time, speed }, altitude, driven };
}

/** The two passes written out with whole columns, on the same grid, as a second opinion. */
function plainPasses(grid: readonly number[]): number[] {
  const last = grid.length - 1;
  const pass = (heights: readonly number[]) => {
    const result = [heights[0]!];
    for (let d = 1; d <= last; d++) {
      const from = Math.max(0, d - 200);
      const to = Math.min(last, d + 200);
      result.push(result[d - 1]! + (heights[to]! - heights[from]!) / (to - from));
    }
    return result;
  };
  return pass(pass(grid));
}

function expectWithinAbsolute(actual: number, expected: number, tolerance: number): void {
  expect(Math.abs(actual - expected), `${actual} against ${expected}`).toBeLessThan(tolerance);
}

describe('the sum of all rises', () => {
  it('of a walk up and down is that of its upward steps', () => {
    expect(cumulativeGain(Float64Array.of(100, 103, 101, 101, 105))).toBe(7);
    expect(cumulativeGain(Float64Array.of(5))).toBe(0);
  });
});

describe('smoothed altitude', () => {
  it('of a road of constant slope stays as it is', () => {
    const { motion, altitude } = drive(1800, (metres) => 50 + 0.03 * metres, seeded(1));
    const smoothed = smoothAltitude(motion, altitude);
    expect(smoothed.implausible).toBe(0);
    expect(smoothed.endShift).toBeLessThan(1e-8);
    for (const [k, height] of altitude.entries()) {
      expectWithinAbsolute(smoothed.altitude[k]!, height, 1e-8);
    }
  });

  it('keeps the first and the last altitude', () => {
    const random = seeded(2);
    let greatestShift = 0;
    for (let round = 0; round < 20; round++) {
      const seconds = 10 + Math.floor(2000 * random());
      const { motion, altitude } = drive(
        seconds,
        (metres) => 200 + 60 * Math.sin(metres / 700) + 0.01 * metres,
        random,
      );
      const smoothed = smoothAltitude(motion, altitude);
      expect(smoothed.altitude[0]).toBe(altitude[0]);
      expectWithinAbsolute(smoothed.altitude[seconds]!, altitude[seconds]!, 1e-9);
      greatestShift = Math.max(greatestShift, Math.abs(smoothed.endShift));
    }
    // There was something to keep: the method itself ends a metre or so off.
    expect(greatestShift).toBeGreaterThan(0.1);
  });

  it('agrees with both passes written out over whole columns of metres', () => {
    const { motion, altitude, driven } = drive(
      1000,
      (metres) => 200 + 60 * Math.sin(metres / 700),
      seeded(3),
      0.5,
    );
    const smoothed = smoothAltitude(motion, altitude);
    const whole = driven[1000]!;
    const cells = Math.round(whole);
    const cell = whole / cells;
    // Altitudes as the rules correct them, by distance.
    const points: [number, number][] = [[0, altitude[0]!]];
    let believed = altitude[0]!;
    for (let k = 1; k <= 1000; k++) {
      const rise = Math.abs(altitude[k]! - altitude[k - 1]!);
      if (driven[k] === driven[k - 1]) continue;
      const reach = Math.max(motion.speed[k]!, driven[k]! - driven[k - 1]!);
      if (rise <= reach * Math.SQRT1_2) believed = altitude[k]!;
      points.push([driven[k]!, believed]);
    }
    let p = 0;
    const grid = Array.from({ length: cells + 1 }, (_, d) => {
      while (p < points.length - 2 && points[p + 1]![0] < d * cell) p++;
      const [s1, h1] = points[p]!;
      const [s2, h2] = points[p + 1]!;
      return h1 + ((h2 - h1) * Math.min(d * cell - s1, s2 - s1)) / (s2 - s1);
    });
    const plain = plainPasses(grid);
    const shift = plain[cells]! - grid[cells]!;
    expectWithinAbsolute(smoothed.endShift, shift, 1e-9);
    for (let k = 0; k <= 1000; k++) {
      const place = driven[k]! / cell;
      const below = Math.min(Math.floor(place), cells - 1);
      const height = plain[below]! + (place - below) * (plain[below + 1]! - plain[below]!);
      expectWithinAbsolute(smoothed.altitude[k]!, height - (shift * driven[k]!) / whole, 1e-8);
    }
  });

  it('does not change while the car stands, whatever the receiver says', () => {
    const { motion, altitude } = drive(900, () => 80, seeded(4), 1.5);
    const smoothed = smoothAltitude(motion, altitude);
    for (let k = 1; k <= 900; k++) {
      if (motion.speed[k] === 0 && motion.speed[k - 1] === 0) {
        expect(smoothed.altitude[k]).toBe(smoothed.altitude[k - 1]);
      }
    }
    expect(smoothed.implausible).toBeGreaterThan(50);
  });

  it('takes the noise of a receiver for a small part of the climbing that it seems to be', () => {
    const { motion, altitude } = drive(3600, () => 80, seeded(5), 2);
    const { gain } = smoothAltitude(motion, altitude);
    expect(gain.raw).toBeGreaterThan(1000);
    expect(gain.afterFirstPass).toBeLessThan(0.1 * gain.raw);
    expect(gain.afterSecondPass).toBeLessThan(gain.afterFirstPass);
  });

  it('passes over an altitude that would be a cliff, and one that is missing', () => {
    const time = Float64Array.from({ length: 101 }, (_, k) => k);
    const speed = new Float64Array(101).fill(10);
    const altitude = new Float64Array(101).fill(30);
    altitude[50] = 90;
    altitude[70] = Number.NaN;
    const smoothed = smoothAltitude({ time, speed }, altitude);
    expect([...smoothed.altitude]).toEqual(new Array(101).fill(30));
    // The way up and the way down are both steeper than 45°.
    expect(smoothed.implausible).toBe(1);
    expect(smoothed.missing).toBe(1);
    expect(smoothed.gain.raw).toBe(0);
  });

  it('holds the first altitude back to a start without one', () => {
    const time = Float64Array.of(0, 1, 2, 3, 4);
    const altitude = Float64Array.of(Number.NaN, Number.NaN, 40, 40, 40);
    const { altitude: result, missing } = smoothAltitude(
      { time, speed: new Float64Array(5).fill(9) },
      altitude,
    );
    expect([...result]).toEqual([40, 40, 40, 40, 40]);
    expect(missing).toBe(2);
  });

  it('of a car that never moves is the first one', () => {
    const motion = { time: Float64Array.of(0, 1, 2), speed: new Float64Array(3) };
    const smoothed = smoothAltitude(motion, Float64Array.of(5, 6, 7));
    expect([...smoothed.altitude]).toEqual([5, 5, 5]);
    expect(smoothed.gain).toEqual({
      raw: 0,
      afterFirstPass: 0,
      afterSecondPass: 0,
      perDistance: 0,
    });
  });

  it('is refused where there is no altitude', () => {
    const motion = { time: Float64Array.of(0, 1), speed: Float64Array.of(1, 1) };
    expect(() => smoothAltitude(motion, Float64Array.of(Number.NaN, Number.NaN))).toThrow(
      RangeError,
    );
  });

  it('written over the altitude itself is the same', () => {
    const { motion, altitude } = drive(2000, (m) => 60 * Math.sin(m / 500), seeded(6), 1);
    const apart: SmoothedAltitude = smoothAltitude(motion, altitude);
    expect(altitude).not.toEqual(apart.altitude);
    const over = smoothAltitude(motion, altitude, altitude);
    expect(over.altitude).toBe(altitude);
    expect(altitude).toEqual(apart.altitude);
    expect(over.gain).toEqual(apart.gain);
  });

  it('of a drive shorter than the windows is one straight slope', () => {
    const time = Float64Array.from({ length: 16 }, (_, k) => k);
    const speed = new Float64Array(16).fill(10);
    const altitude = Float64Array.from(time, (t) => 100 + (t % 3));
    altitude[15] = 103;
    const smoothed = smoothAltitude({ time, speed }, altitude);
    for (let k = 0; k <= 15; k++) expectWithinAbsolute(smoothed.altitude[k]!, 100 + 0.2 * k, 1e-9);
  });
});

describe('an invented round over two hills', () => {
  // A lap of 12 km back to its start: 140 m up in two hills of different length, 6 % at the steepest.
  const LAP = 12_000;
  const height = (metres: number) => {
    const angle = (2 * Math.PI * (metres % LAP)) / LAP;
    return 250 + 60 * (1 - Math.cos(angle)) + 25 * Math.sin(2 * angle) ** 2;
  };

  function round(): ReturnType<typeof drive> {
    const whole = drive(4000, height, seeded(9), 1);
    // The second at which the lap is closed: from there the car would be at its start again.
    const end = whole.driven.findIndex((driven) => driven >= LAP);
    const altitude = whole.altitude.slice(0, end + 1);
    altitude[end] = altitude[0]!;
    const time = whole.motion.time.slice(0, end + 1);
    return {
      motion: { time, speed: whole.motion.speed.slice(0, end + 1) },
      altitude,
      driven: whole.driven.slice(0, end + 1),
    };
  }

  it('brings the potential energy back to zero', () => {
    const { motion, altitude } = round();
    const trace = traceFromSamples({
      name: 'round',
      ...motion,
      road: { kind: 'altitude', altitude: smoothAltitude(motion, altitude).altitude },
    });
    expect(distance(trace)).toBeGreaterThan(LAP - 30);
    const up = trace.climb.reduce((sum, climb) => sum + Math.max(0, climb), 0);
    // The hills are there; the noise of the receiver, some hundreds of metres, is not.
    expect(up).toBeGreaterThan(120);
    expect(up).toBeLessThan(200);
    const potential = 1500 * GRAVITY * altitudeChange(trace);
    // A few hundred additions of joules beside the 2 MJ of the climb.
    expect(Math.abs(potential)).toBeLessThan(1e-9 * 1500 * GRAVITY * up);
  });
});
