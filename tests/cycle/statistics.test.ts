import { describe, expect, it } from 'vitest';
import { KMH, MPH } from '../../src/config/units.ts';
import { traceFromSamples } from '../../src/cycle/samples.ts';
import { type CycleStatistics, cycleStatistics } from '../../src/cycle/statistics.ts';
import { refine, type Trace } from '../../src/cycle/trace.ts';
import { GRAVITY } from '../../src/physics/air.ts';
import { cycleNamed } from '../fixtures.ts';
import { seeded } from '../seeded.ts';
import { randomDrive, roadsOf } from './drives.ts';

/**
 * Stands for 2 s, goes to 10 m/s in 5 s, holds it for 3 s while it climbs 1.5 m, stops in 4 s,
 * stands for 2 s, goes to 2 m/s in 1 s and stops in 1 s: 25 + 30 + 20 + 1 + 1 = 77 m in 18 s.
 */
const hand: Trace = {
  name: 'hand',
  time: Float64Array.of(0, 2, 7, 10, 14, 16, 17, 18),
  speed: Float64Array.of(0, 0, 10, 10, 0, 0, 2, 0),
  climb: Float64Array.of(0, 0, 1.5, -1, 0, 0, 0),
  level: Float64Array.of(0, 25, 29.9, 19.9, 0, 1, 1),
};

describe('statistics of a drive worked out by hand', () => {
  const statistics = cycleStatistics(hand);

  it('are its distance, duration, speeds and accelerations', () => {
    expect(statistics.duration).toBe(18);
    expect(statistics.distance).toBe(77);
    expect(statistics.meanSpeed).toBe(77 / 18);
    expect(statistics.meanDrivingSpeed).toBe(77 / 14);
    expect(statistics.maxSpeed).toBe(10);
    expect(statistics.maxAcceleration).toBe(2);
    expect(statistics.maxDeceleration).toBe(2.5);
  });

  it('are its standstill: 4 of 18 s at rest, 6 of 18 seconds that end at rest, two stops', () => {
    expect(statistics.stops).toEqual({ restShare: 4 / 18, belowOneKmhShare: 6 / 18, count: 2 });
  });

  it('are its kinetic energies: 50 and 2 J/kg gained and shed', () => {
    expect(statistics.kinetic.gained).toBe(52 / 77);
    expect(statistics.kinetic.shed).toBe(52 / 77);
    expect(statistics.relativePositiveAcceleration.exact).toBe(52 / 77);
  });

  it('are its relative positive accelerations at 1 Hz', () => {
    // v 0 0 0 2 4 6 8 10 10 10 10 7.5 5 2.5 0 0 0 2 0, central differences
    // a 0 0 1 2 2 2 2 1 0 0 -1.25 -2.5 -2.5 -2.5 -1.25 0 1 0 0
    // v a, a > 0: 0 4 8 12 16 10 and 0 at 16 s: 50; distance by samples: 77 m.
    expect(statistics.relativePositiveAcceleration.centralDifferences).toBe(50 / 77);
    expect(statistics.relativePositiveAcceleration.centralAboveThreshold).toBe(50 / 77);
  });

  it('are its heights, the characteristic acceleration and the kinetic intensity', () => {
    expect(statistics.climbing).toEqual({ up: 1.5 / 77, down: 1 / 77 });
    const characteristic = (52 + GRAVITY * 1.5) / 77;
    expect(statistics.kinetic.characteristicAcceleration).toBeCloseTo(characteristic, 14);
    // ∫ v³ dt of a ramp from 0 to v in T: v³ T / 4.
    const cube = 1250 + 3000 + 1000 + 2 + 2;
    expect(statistics.kinetic.aerodynamicSpeedSquared).toBeCloseTo(cube / 77, 12);
    expect(statistics.kinetic.intensity).toBeCloseTo((characteristic * 77) / cube, 14);
  });

  it('are the energies of the reference car: 100 N, 1.8 N/(m/s), 0.3888 N/(m/s)², 1545 kg', () => {
    const work = (mean: number, acceleration: number, dt: number) =>
      (100 + 1.8 * mean + 0.3888 * mean * mean + 1545 * acceleration) * mean * dt;
    const traction = work(5, 2, 5) + work(10, 0, 3) + work(1, 2, 1);
    const braking = -work(5, -2.5, 4) - work(1, -2, 1);
    expect(statistics.referenceEnergy.traction).toBeCloseTo(traction, 6);
    expect(statistics.referenceEnergy.braking).toBeCloseTo(braking, 6);
  });
});

describe('stops', () => {
  it('of the NEDC are thirteen: three in each urban part and one at the end', () => {
    expect(cycleStatistics(cycleNamed('nedc')).stops.count).toBe(13);
  });
});

/** Every number of the statistics with its path, but for those of samples at 1 Hz if asked. */
function numbers(value: object, path = ''): [string, number][] {
  return Object.entries(value).flatMap(([key, entry]): [string, number][] => {
    if (typeof entry === 'number') return [[`${path}${key}`, entry]];
    return typeof entry === 'object' && entry !== null ? numbers(entry, `${path}${key}.`) : [];
  });
}

function expectSame(actual: CycleStatistics, expected: CycleStatistics, tolerance: number): void {
  const other = new Map(numbers(actual));
  const all = numbers(expected);
  expect(all.length).toBeGreaterThan(40);
  for (const [path, value] of all) {
    if (Number.isNaN(value)) expect(other.get(path), path).toBeNaN();
    else {
      const scale = Math.max(Math.abs(value), 1e-9);
      expect(Math.abs(other.get(path)! - value) / scale, path).toBeLessThan(tolerance);
    }
  }
}

describe('statistics of random drives', () => {
  it.each([2, 5])('do not change when they are sampled %d times as finely', (parts) => {
    const random = seeded(72 + parts);
    for (let drive = 0; drive < 30; drive++) {
      for (const samples of roadsOf(randomDrive(random))) {
        const trace = traceFromSamples(samples);
        const coarse = cycleStatistics(trace);
        const fine = cycleStatistics(refine(trace, parts));
        // The reference car's forces are taken at mean speeds, and climbs that change sign within an
        // interval cannot: both are left to the coarse trace.
        const { referenceEnergy, ...rest } = coarse;
        // Some 1000 additions at 1e-16, and squares of speeds that nearly cancel.
        expectSame({ ...fine, referenceEnergy }, { ...rest, referenceEnergy }, 1e-10);
      }
    }
  });

  it('do not change with the unit in which the log has its speeds', () => {
    const random = seeded(75);
    for (let drive = 0; drive < 30; drive++) {
      const { time, speed } = randomDrive(random);
      const inUnit = (unit: number) =>
        traceFromSamples({
          name: 'unit',
          time,
          speed: speed.map((value) => value / unit).map((value) => value * unit),
        });
      const plain = cycleStatistics(inUnit(1));
      for (const unit of [KMH, MPH]) expectSame(cycleStatistics(inUnit(unit)), plain, 1e-10);
    }
  });

  it('have as much kinetic energy gained as shed from rest to rest, and half the sum of both', () => {
    const random = seeded(76);
    for (let drive = 0; drive < 30; drive++) {
      const { time, speed } = randomDrive(random);
      speed[0] = 0;
      speed[speed.length - 1] = 0;
      const { kinetic } = cycleStatistics(traceFromSamples({ name: 'rest', time, speed }));
      expect(Math.abs(kinetic.gained - kinetic.shed)).toBeLessThan(1e-11 * kinetic.gained);
      expect(kinetic.characteristicAcceleration).toBe(kinetic.gained);
    }
  });
});
