import { describe, expect, it } from 'vitest';
import { KMH } from '../../src/config/units.ts';
import { SMOOTHING_METHODS, smooth } from '../../src/cycle/smooth.ts';
import { smoothT4253H } from '../../src/cycle/smooth-t4253h.ts';
import { cycleStatistics } from '../../src/cycle/statistics.ts';
import { seeded } from '../seeded.ts';
import { noisyConstantSpeed } from './noise.ts';

function smoothed(values: readonly number[], method: (typeof SMOOTHING_METHODS)[number]) {
  const result = Float64Array.from(values);
  smooth(result, method);
  return [...result];
}

function random(count: number, seed: number): number[] {
  const next = seeded(seed);
  return Array.from({ length: count }, () => 20 * next());
}

/**
 * Value in the middle of the parabola of least squares through 2 h + 1 evenly spaced values. With x
 * from -h to h the sums of odd powers vanish, and the normal equations are those for 1 and x² alone.
 */
function parabolaMiddle(values: readonly number[]): number {
  const half = (values.length - 1) / 2;
  let [s2, s4, y, x2y] = [0, 0, 0, 0];
  for (const [k, value] of values.entries()) {
    const x = k - half;
    s2 += x * x;
    s4 += x ** 4;
    y += value;
    x2y += x * x * value;
  }
  return (s4 * y - s2 * x2y) / (values.length * s4 - s2 * s2);
}

describe.each(SMOOTHING_METHODS)('%s', (method) => {
  it('leaves a straight ramp as it is, its ends included', () => {
    const ramp = Array.from({ length: 50 }, (_, k) => 3 + 0.25 * k);
    for (const [k, value] of smoothed(ramp, method).entries()) {
      expect(Math.abs(value - ramp[k]!)).toBeLessThan(1e-13);
    }
  });

  it.each([0, 1, 2, 3, 4, 5, 9])('works on %d values', (count) => {
    const values = random(count, 60 + count);
    const result = smoothed(values, method);
    expect(result).toHaveLength(count);
    expect(result.every(Number.isFinite)).toBe(true);
    if (count < 3) expect(result).toEqual(values);
  });

  it('moves with an offset and scales with a factor', () => {
    const values = random(200, 61);
    const plain = smoothed(values, method);
    const other = smoothed(
      values.map((value) => 2.5 * value + 7),
      method,
    );
    for (const [k, value] of plain.entries()) {
      expect(Math.abs(other[k]! - (2.5 * value + 7))).toBeLessThan(1e-12);
    }
  });

  it('smooths a series of many blocks as one, whichever way it is read', () => {
    // The end of the first block of 4096 lies in the middle of neither direction.
    const values = random(10_000, 62);
    const forward = smoothed(values, method);
    const backward = smoothed([...values].reverse(), method).reverse();
    for (const [k, value] of forward.entries()) {
      expect(Math.abs(value - backward[k]!)).toBeLessThan(1e-12);
    }
  });

  it('lowers noise', () => {
    const values = random(5000, 63);
    const spread = (series: readonly number[]) => {
      const mean = series.reduce((sum, value) => sum + value, 0) / series.length;
      return Math.sqrt(series.reduce((sum, v) => sum + (v - mean) ** 2, 0) / series.length);
    };
    expect(spread(smoothed(values, method))).toBeLessThan(0.75 * spread(values));
  });

  it('reports each sample that becomes another', () => {
    const values = Float64Array.from(random(100, 64));
    const before = values.slice();
    const seen: number[] = [];
    smooth(values, method, (index, from, to) => {
      expect(from).toBe(before[index]);
      seen.push(index);
      expect(to).not.toBe(from);
    });
    expect(seen).toEqual([...before.keys()].filter((k) => before[k] !== values[k]));
  });
});

describe('the five-point mean', () => {
  it('is the mean of five, of three beside the ends, and keeps the ends', () => {
    const result = smoothed([5, 1, 6, 8, 10, 0, 3], 'five-point-mean');
    // (5+1+6)/3, (5+1+6+8+10)/5, (1+6+8+10+0)/5, (6+8+10+0+3)/5, (10+0+3)/3
    const expected = [5, 4, 6, 5, 5.4, 13 / 3, 3];
    for (const [k, value] of expected.entries()) expect(result[k]).toBeCloseTo(value, 13);
  });

  it('divides white noise by the square root of five', () => {
    // Elementary: the mean of five independent values. 1 % is four times the scatter of the estimate.
    const noise = random(200_000, 65).map((value) => value - 10);
    const result = smoothed(noise, 'five-point-mean');
    const power = (series: readonly number[]) => series.reduce((sum, value) => sum + value ** 2, 0);
    expect(Math.abs(Math.sqrt(power(noise) / power(result)) / Math.sqrt(5) - 1)).toBeLessThan(0.01);
  });
});

describe('Savitzky and Golay', () => {
  it.each([
    ['savitzky-golay-5', 2],
    ['savitzky-golay-7', 3],
    ['savitzky-golay-9', 4],
  ] as const)('%s gives the middle of the parabola of least squares', (method, half) => {
    const values = random(60, 66);
    const result = smoothed(values, method);
    for (let k = 0; k < values.length; k++) {
      const width = Math.min(half, k, values.length - 1 - k);
      // Through one point or three the parabola goes exactly.
      const expected =
        width < 2 ? values[k]! : parabolaMiddle(values.slice(k - width, k + width + 1));
      expect(Math.abs(result[k]! - expected), `sample ${k}`).toBeLessThan(1e-12);
    }
  });
});

describe('T4253H', () => {
  it('takes out a single outlier without a trace', () => {
    const values = new Array<number>(40).fill(10);
    values[20] = 500;
    expect(smoothed(values, 't4253h')).toEqual(new Array<number>(40).fill(10));
  });

  it('keeps an edge that a mean would smear over five samples', () => {
    const edge = Array.from({ length: 40 }, (_, k) => (k < 20 ? 0 : 10));
    const medians = smoothed(edge, 't4253h');
    const means = smoothed(edge, 'five-point-mean');
    // Two samples from the edge a five-point mean is off by a fifth of it; the medians by a twentieth.
    expect(Math.abs(medians[18]!)).toBeLessThan(0.5);
    expect(means[18]).toBeCloseTo(2, 12);
    expect(Math.abs(medians[17]!)).toBeLessThan(0.2);
    expect(medians[13]).toBe(0);
  });

  it('agrees with the medians and weights written out with sorting', () => {
    const values = random(50, 67);
    const result = new Float64Array(50);
    smoothT4253H(Float64Array.from(values), result);
    const once = plain4253H(values);
    const residual = values.map((value, k) => value - once[k]!);
    const again = plain4253H(residual);
    for (let k = 0; k < 50; k++) {
      expect(Math.abs(result[k]! - (once[k]! + again[k]!)), `sample ${k}`).toBeLessThan(1e-12);
    }
  });
});

/** 4253H by sorting, away from the ends and at them. */
function plain4253H(values: readonly number[]): number[] {
  const last = values.length - 1;
  const median = (...set: number[]) => {
    const sorted = set.sort((a, b) => a - b);
    return 0.5 * (sorted[(set.length - 1) >> 1]! + sorted[set.length >> 1]!);
  };
  const between = values.slice(0, last).map((_, k) => {
    const whole = k > 0 && k + 2 <= last;
    return whole ? median(...values.slice(k - 1, k + 3)) : median(values[k]!, values[k + 1]!);
  });
  const on = values.map((value, k) =>
    k === 0 || k === last ? value : 0.5 * (between[k - 1]! + between[k]!),
  );
  const five = on.map((_, k) => {
    const half = Math.min(2, k, last - k);
    return median(...on.slice(k - half, k + half + 1));
  });
  const three = five.map((_, k) =>
    k === 0 || k === last ? Number.NaN : median(...five.slice(k - 1, k + 2)),
  );
  three[0] = median(five[0]!, three[1]!, 3 * three[1]! - 2 * three[2]!);
  three[last] = median(five[last]!, three[last - 1]!, 3 * three[last - 1]! - 2 * three[last - 2]!);
  return three.map((value, k) =>
    k === 0 || k === last ? value : 0.25 * three[k - 1]! + 0.5 * value + 0.25 * three[k + 1]!,
  );
}

describe('a steady 50 km/h with the noise of a satellite receiver', () => {
  it.each(SMOOTHING_METHODS)('accelerates less once it is smoothed by %s', (method) => {
    const noisy = noisyConstantSpeed(3600, 50 * KMH, 0.1, 68);
    const raw = cycleStatistics(noisy).relativePositiveAcceleration;
    smooth(noisy.speed, method);
    const rest = cycleStatistics(noisy).relativePositiveAcceleration;
    expect(rest.exact).toBeLessThan(raw.exact);
    expect(rest.centralDifferences).toBeLessThan(raw.centralDifferences);
    expect(rest.centralAboveThreshold).toBeLessThan(raw.centralAboveThreshold);
  });
});
