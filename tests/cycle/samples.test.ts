import { describe, expect, it } from 'vitest';
import { traceFromSamples } from '../../src/cycle/samples.ts';
import { distance } from '../../src/cycle/trace.ts';
import { problemsOf } from './problems.ts';

const f = (...values: number[]) => Float64Array.from(values);

/** Code and path of each problem, which is what a caller can act on. */
function refusals(samples: Parameters<typeof traceFromSamples>[0]): string[] {
  return problemsOf(() => traceFromSamples(samples)).map(({ code, path }) => `${code} ${path}`);
}

describe('traceFromSamples', () => {
  it('makes a flat trace of times and speeds alone', () => {
    const trace = traceFromSamples({ name: 'x', time: f(0, 2, 4), speed: f(0, 10, 10) });
    expect(trace.name).toBe('x');
    expect(distance(trace)).toBe(30);
    expect([...trace.climb]).toEqual([0, 0]);
    expect([...trace.level]).toEqual([10, 20]);
  });

  it('names every bad value by its quantity and index, and goes on', () => {
    expect(
      refusals({ name: 'x', time: f(0, 1, 1, 0.5, 4), speed: f(0, Number.NaN, 150, -1, 5) }),
    ).toEqual([
      'not-a-number speed[1]',
      'time-order time[2]',
      'out-of-range speed[2]',
      'time-order time[3]',
      'negative-speed speed[3]',
    ]);
  });

  it.each([Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])(
    'refuses %d as a time and as a speed',
    (value) => {
      expect(refusals({ name: 'x', time: f(0, value, 2), speed: f(0, value, 2) })).toEqual([
        'not-a-number time[1]',
        'not-a-number speed[1]',
      ]);
    },
  );

  it('refuses a clock that cannot be in seconds, and one that ticks too finely to matter', () => {
    expect(refusals({ name: 'x', time: f(0, 1, 2e10), speed: f(5, 5, 5) })).toEqual([
      'out-of-range time[2]',
    ]);
    expect(refusals({ name: 'x', time: f(0, 1, 1 + 1e-9), speed: f(5, 5, 5) })).toEqual([
      'time-order time[2]',
    ]);
  });

  it('takes a clock that counts the seconds since 1970', () => {
    const trace = traceFromSamples({ name: 'x', time: f(1.7e9, 1.7e9 + 1), speed: f(5, 5) });
    expect(distance(trace)).toBe(5);
  });

  it('refuses columns of different length and fewer than two samples', () => {
    expect(refusals({ name: 'x', time: f(0), speed: f(0) })).toEqual(['too-few-rows time']);
    expect(
      refusals({
        name: 'x',
        time: f(0, 1),
        speed: f(0, 1, 2),
        road: { kind: 'altitude', altitude: f(3) },
      }),
    ).toEqual(['cell-count speed', 'cell-count altitude']);
  });

  it.each([
    ['at rest throughout', f(0, 0, 0)],
    ['that moves less than a metre', f(0, 1e-200, 0)],
  ])('refuses a car %s', (_name, speed) => {
    expect(refusals({ name: 'x', time: f(0, 1, 2), speed })).toEqual(['never-moves speed']);
  });

  it('takes grades to 35 % either way, and no more', () => {
    const drive = { name: 'x', time: f(0, 1, 2), speed: f(5, 5, 5) };
    const trace = traceFromSamples({ ...drive, road: { kind: 'grade', grade: f(0.35, -0.35, 0) } });
    expect(trace.climb.length).toBe(2);
    expect(
      refusals({ ...drive, road: { kind: 'grade', grade: f(0.351, -0.351, Number.NaN) } }),
    ).toEqual(['out-of-range grade[0]', 'out-of-range grade[1]', 'not-a-number grade[2]']);
  });

  describe('with altitudes', () => {
    const altitudes = (speed: Float64Array, altitude: Float64Array) => ({
      name: 'x',
      time: Float64Array.from(speed, (_, k) => k),
      speed,
      road: { kind: 'altitude' as const, altitude },
    });

    it('takes a slope of 35 % of the distance, and refuses one beyond it with a hint', () => {
      expect(traceFromSamples(altitudes(f(10, 10), f(0, 3.5))).climb[0]).toBe(3.5);
      const [problem] = problemsOf(() => traceFromSamples(altitudes(f(10, 10), f(0, -3.6))));
      expect(problem).toMatchObject({ code: 'too-steep', path: 'altitude[1]', found: '-3.6' });
      expect(problem?.hint).toContain('smooth the altitude');
      expect(problem?.hint).toContain('grade_pct');
    });

    it('takes a drift of 0.05 m at rest, and refuses more, however slowly it grows', () => {
      expect(traceFromSamples(altitudes(f(10, 0, 0), f(10, 10, 10.05))).climb[1]).toBe(0);
      expect(refusals(altitudes(f(10, 0, 0, 0), f(10, 10, 10.03, 10.06)))).toEqual([
        'altitude-at-rest altitude[3]',
      ]);
    });

    it('compares with nothing where the value before is missing or out of range', () => {
      expect(refusals(altitudes(f(10, 10, 10, 10), f(0, Number.NaN, 500, 501)))).toEqual([
        'not-a-number altitude[1]',
      ]);
      expect(refusals(altitudes(f(10, 0, 0, 10), f(Number.NaN, 9500, 500, 501)))).toEqual([
        'not-a-number altitude[0]',
        'out-of-range altitude[1]',
      ]);
      // A backward clock makes a negative distance, which is no slope.
      expect(refusals({ ...altitudes(f(10, 10, 10), f(0, 1, 2)), time: f(0, 5, 4) })).toEqual([
        'time-order time[2]',
      ]);
    });
  });
});
