import { describe, expect, it } from 'vitest';
import { type NumberPath, parseNumberPath } from '../../src/study/number-path.ts';
import {
  boundAt,
  FINEST_STEP,
  shareOf,
  type TunedNumber,
  valueAtShare,
} from '../../src/tune/numbers.ts';
import { between, seeded } from '../seeded.ts';

const path = parseNumberPath('store.power_limit_kW') as NumberPath;

function tuned(from: number, to: number, scale: TunedNumber['scale'] = 'linear', start = from) {
  return { path, from, to, scale, start };
}

describe('a tuned number', () => {
  it('goes in equal steps, or in equal ratios', () => {
    expect(valueAtShare(tuned(10, 50), 0.25)).toBe(20);
    expect(valueAtShare(tuned(1, 10_000, 'logarithmic'), 0.25)).toBe(10);
    expect(shareOf(tuned(1, 10_000, 'logarithmic'), 100)).toBeCloseTo(0.5, 12);
  });

  it('has few digits, and yet a thousand values at least', () => {
    // The largest power of ten that goes a thousand times into 75 is 0.01, into 7 million 1000.
    expect(valueAtShare(tuned(5, 80), 0.123456)).toBe(14.26);
    expect(valueAtShare(tuned(0, 7e6), 0.123456)).toBe(864_000);
    expect(valueAtShare(tuned(0, 3e-5), 0.5)).toBe(1.5e-5);
    expect(valueAtShare(tuned(0.5, 20, 'logarithmic'), 0.123456)).toBe(0.7884);
    const values = Array.from({ length: 5000 }, (_, k) => valueAtShare(tuned(5, 80), k / 4999));
    expect(new Set(values).size).toBeGreaterThan(1000);
    expect(Math.max(...values.map((value) => String(value).length))).toBeLessThan(6);
  });

  it('keeps the number of its file to the last digit, and stays within its bounds', () => {
    const random = seeded(3);
    for (let i = 0; i < 500; i++) {
      const from = between(random, 0.1, 10);
      const to = from + between(random, 0.1, 1000);
      const start = between(random, from, to);
      for (const scale of ['linear', 'logarithmic'] as const) {
        const number = tuned(from, to, scale, start);
        expect(valueAtShare(number, shareOf(number, start))).toBe(start);
        expect(valueAtShare(number, 0)).toBe(from);
        expect(valueAtShare(number, 1)).toBe(to);
        const value = valueAtShare(number, random());
        expect(value).toBeGreaterThanOrEqual(from);
        expect(value).toBeLessThanOrEqual(to);
      }
    }
  });

  it('makes another value of all but the smallest steps', () => {
    const number = tuned(0, 999, 'linear', 500);
    expect(valueAtShare(number, 0.3 + 4 * FINEST_STEP)).not.toBe(valueAtShare(number, 0.3));
  });

  it('stands at a bound within half a hundredth of the range', () => {
    expect(boundAt(tuned(10, 20), 10.04)).toBe('from');
    expect(boundAt(tuned(10, 20), 10.06)).toBeNull();
    expect(boundAt(tuned(10, 20), 19.96)).toBe('to');
  });
});
