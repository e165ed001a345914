import { describe, expect, it } from 'vitest';
import { KMH } from '../../src/config/units.ts';
import { cut, join, repeat, scaleSpeed, stretchTime } from '../../src/cycle/compose.ts';
import { traceFromSamples } from '../../src/cycle/samples.ts';
import { cycleStatistics } from '../../src/cycle/statistics.ts';
import { altitudeChange, distance, duration, type Trace } from '../../src/cycle/trace.ts';
import { cycleNamed } from '../fixtures.ts';
import { seeded } from '../seeded.ts';
import { randomDrive, roadsOf } from './drives.ts';
import { problemsOf } from './problems.ts';

function sum(values: Float64Array): number {
  return values.reduce((total, value) => total + value, 0);
}

/** From 10 s: 0 to 10 m/s in 4 s, 2 s at 10 m/s, to rest in 5 s; climbs 2 m and falls 1 m. */
const hill: Trace = {
  name: 'hill',
  time: Float64Array.of(10, 14, 16, 21),
  speed: Float64Array.of(0, 10, 10, 0),
  climb: Float64Array.of(2, 0, -1),
  level: Float64Array.of(19.9, 20, 24.98),
};

const ramp: Trace = {
  name: 'ramp',
  time: Float64Array.of(0, 5),
  speed: Float64Array.of(0, 20),
  climb: Float64Array.of(3),
  level: Float64Array.of(49.9),
};

describe('join', () => {
  it('drives one trace after the other on one clock, and heights add up', () => {
    const joined = join([hill, ramp], 'both');
    expect(joined.name).toBe('both');
    expect([...joined.time]).toEqual([10, 14, 16, 21, 26]);
    expect([...joined.speed]).toEqual([0, 10, 10, 0, 20]);
    expect([...joined.climb]).toEqual([2, 0, -1, 3]);
    expect([...joined.level]).toEqual([19.9, 20, 24.98, 49.9]);
  });

  it('of a single trace is that trace', () => {
    expect(join([hill], 'hill')).toEqual(hill);
  });

  it('refuses speeds that do not agree, and names both', () => {
    const problems = problemsOf(() => join([hill, ramp, hill], 'all'));
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({
      code: 'seam',
      path: 'ramp + hill',
      found: '`ramp` ends at 72 km/h, `hill` begins at 0 km/h',
    });
  });

  it('takes a seam of 0.1 km/h, and no more', () => {
    const from = (kmh: number): Trace => ({
      ...ramp,
      speed: Float64Array.of(kmh * KMH, 20),
    });
    const joined = join([hill, from(0.1)], 'seam');
    expect([...joined.speed]).toEqual([0, 10, 10, 0, 20]);
    // The interval behind the seam is shorter by that little, its slope the same.
    expect(joined.climb[3]! / joined.level[3]!).toBeCloseTo(3 / 49.9, 14);
    expect(joined.climb[3]).toBeCloseTo((3 * 20) / (20 + 0.1 * KMH), 12);
    expect(problemsOf(() => join([hill, from(0.11)], 'seam'))).toHaveLength(1);
  });
});

describe('repeat', () => {
  it('drives the whole again and again', () => {
    const twice = repeat(cycleNamed('udds'), 2, 'twice');
    expect(duration(twice)).toBe(2738);
    expect(twice.time.length).toBe(2739);
    expect(Math.abs(distance(twice) - 2 * distance(cycleNamed('udds')))).toBeLessThan(1e-8);
    expect(twice.speed.slice(1369)).toEqual(cycleNamed('udds').speed);
  });

  it('refuses a trace that ends faster than it begins, and says so once', () => {
    expect(problemsOf(() => repeat(ramp, 50, 'often'))).toHaveLength(1);
  });

  it.each([0, -1, 1.5])('refuses %d times', (times) => {
    expect(() => repeat(hill, times, 'no')).toThrow(RangeError);
  });
});

describe('cut', () => {
  it('interpolates the speed and shares height out by distance', () => {
    const piece = cut(hill, 12, 18.5);
    expect([...piece.time]).toEqual([12, 14, 16, 18.5]);
    expect([...piece.speed]).toEqual([5, 10, 10, 5]);
    // 15 of 20 m of the first interval, 18.75 of 25 m of the last.
    expect([...piece.climb]).toEqual([1.5, 0, -0.75]);
    expect(piece.level[0]).toBeCloseTo(0.75 * 19.9, 13);
  });

  it('within one interval keeps its slope', () => {
    const piece = cut(hill, 11, 12);
    expect([...piece.speed]).toEqual([2.5, 5]);
    expect(piece.climb[0]).toBeCloseTo((2 * 3.75) / 20, 14);
    expect(piece.level[0]).toBeCloseTo((19.9 * 3.75) / 20, 13);
  });

  it('at samples takes them as they are', () => {
    const phase = cut(cycleNamed('wltc-class3b'), 589, 1022);
    expect(phase.time.length).toBe(434);
    // The length of the medium phase, read in a publication of the phase distances.
    expect(Math.round(distance(phase))).toBe(4756);
    expect(cut(hill, 10, 21)).toEqual(hill);
  });

  it.each([
    [9, 12],
    [12, 22],
    [12, 12],
    [14, 12],
    [Number.NaN, 12],
  ])('refuses what does not lie within the trace, from %d s to %d s', (from, to) => {
    expect(problemsOf(() => cut(hill, from, to))).toMatchObject([
      { code: 'out-of-range', path: 'hill' },
    ]);
  });

  it('into stretches that are joined again changes nothing', () => {
    const random = seeded(100);
    for (let drive = 0; drive < 50; drive++) {
      for (const samples of roadsOf(randomDrive(random))) {
        const trace = traceFromSamples(samples);
        const start = trace.time[0]!;
        const instants = Array.from({ length: 5 }, () => start + duration(trace) * random());
        const cuts = [start, ...instants.sort((a, b) => a - b), start + duration(trace)];
        const pieces = cuts.slice(1).map((to, k) => cut(trace, cuts[k]!, to));
        const whole = join(pieces, trace.name);
        const tolerance = 1e-12 * distance(trace);
        expect(Math.abs(duration(whole) - duration(trace))).toBeLessThan(1e-9);
        expect(Math.abs(distance(whole) - distance(trace))).toBeLessThan(tolerance);
        expect(Math.abs(altitudeChange(whole) - altitudeChange(trace))).toBeLessThan(tolerance);
        expect(Math.abs(sum(whole.level) - sum(trace.level))).toBeLessThan(tolerance);
        const gained = cycleStatistics(trace).kinetic.gained;
        expect(Math.abs(cycleStatistics(whole).kinetic.gained - gained)).toBeLessThan(
          1e-11 * gained,
        );
      }
    }
  });
});

describe('scaled speeds', () => {
  it('stretch the road with the distance and keep its slopes', () => {
    const faster = scaleSpeed(hill, 1.5);
    expect([...faster.time]).toEqual([...hill.time]);
    expect([...faster.speed]).toEqual([0, 15, 15, 0]);
    expect([...faster.climb]).toEqual([3, 0, -1.5]);
    expect(distance(faster)).toBe(1.5 * distance(hill));
  });

  it.each([0, -1, Number.NaN, Number.POSITIVE_INFINITY])('refuse a factor of %d', (factor) => {
    expect(() => scaleSpeed(hill, factor)).toThrow(RangeError);
    expect(() => stretchTime(hill, factor)).toThrow(RangeError);
  });
});

describe('stretched time', () => {
  it('drives the same road slower', () => {
    const slower = stretchTime(hill, 2);
    expect([...slower.time]).toEqual([10, 18, 22, 32]);
    expect([...slower.speed]).toEqual([0, 5, 5, 0]);
    expect(distance(slower)).toBe(distance(hill));
    expect(slower.climb).toEqual(hill.climb);
  });
});
