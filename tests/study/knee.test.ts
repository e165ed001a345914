import { describe, expect, it } from 'vitest';
import { type CurvePoint, findKnee } from '../../src/study/knee.ts';
import { expectWithin } from '../within.ts';

/** A curve by its values and savings. */
function curve(values: readonly number[], savings: readonly number[]): CurvePoint[] {
  return values.map((value, k) => ({ value, saving_pct: savings[k]! }));
}

/** A saving that approaches its greatest one exponentially, over a range of so many constants. */
function exponential(constants: number, count = 401): CurvePoint[] {
  return Array.from({ length: count }, (_, k) => {
    const x = (constants * k) / (count - 1);
    return { value: 100 * x, saving_pct: 20 * (1 - Math.exp(-x)) };
  });
}

describe('the knee of a curve', () => {
  it('is its point highest over the chord, worked out by hand', () => {
    // Scaled by 9.5 and 4: 0, 12/19, 16/19, 18/19, 1 over 0, 1/4, 1/2, 3/4, 1. Over the chord they
    // lie 0, 29/76, 26/76, 15/76, 0. The last step rises 0.5 of 9.5 in a quarter: 4/19, gentle.
    const found = findKnee(curve([0, 1, 2, 3, 4], [0, 6, 8, 9, 9.5]));
    if (found.kind !== 'knee') throw new Error(found.kind);
    expect(found.at).toEqual({ value: 1, saving_pct: 6 });
    expect(found.top).toEqual({ value: 4, saving_pct: 9.5 });
    // A few roundings.
    expectWithin(found.height, 29 / 76, 1e-14);
  });

  it('does not hang on where the values and savings begin, nor on their units', () => {
    const values = [0, 1, 2, 3, 4].map((value) => 100 + 1000 * value);
    const savings = [0, 6, 8, 9, 9.5].map((saving) => -3 + saving / 10);
    expect(findKnee(curve(values, savings))).toMatchObject({ kind: 'knee', at: { value: 1100 } });
  });

  it('takes uneven values as they are', () => {
    // Scaled: 0, 0.9, 1 at 0, 0.1, 1 and a point between on the flat part.
    const found = findKnee(curve([0, 10, 50, 100], [0, 9, 9.6, 10]));
    expect(found).toMatchObject({ kind: 'knee', at: { value: 10 } });
  });

  it('of an exponential approach is where its slope is the mean slope', () => {
    // Over c constants: e^-x = (1 - e^-c) / c. For c = 3: x = ln(3 / (1 - e^-3)) = 1.1499.
    const found = findKnee(exponential(3));
    if (found.kind !== 'knee') throw new Error(found.kind);
    const x = Math.log(3 / (1 - Math.exp(-3)));
    // The points are 3/400 of a constant apart.
    expect(Math.abs(found.at.value / 100 - x)).toBeLessThanOrEqual(3 / 800 + 1e-9);
  });

  it('is looked for up to the highest saving where the saving falls again', () => {
    const found = findKnee(curve([0, 1, 2, 3, 4, 5], [0, 6, 8, 9, 9.5, 7]));
    expect(found).toMatchObject({ kind: 'knee', at: { value: 1 }, top: { value: 4 } });
  });
});

describe('where there is no knee', () => {
  it('the saving may still rise at the end of the range', () => {
    // Over one constant the end is 0.58 as steep as the mean, over two 0.31.
    expect(findKnee(exponential(1))).toEqual({ kind: 'none', reason: 'rising' });
    expect(findKnee(exponential(2)).kind).toBe('knee');
  });

  it('the curve may be straight, or bend the other way', () => {
    const straight = curve([1, 2, 3, 4, 5], [1, 2, 3, 4, 5]);
    const convex = curve([1, 2, 3, 4, 5], [0, 1, 4, 9, 16]);
    expect(findKnee(straight)).toEqual({ kind: 'none', reason: 'rising' });
    expect(findKnee(convex)).toEqual({ kind: 'none', reason: 'rising' });
  });

  it('the saving may rise evenly and then fall', () => {
    const tent = curve([0, 1, 2, 3, 4, 5, 6], [0, 1, 2, 3, 2, 1, 0]);
    expect(findKnee(tent)).toEqual({ kind: 'peak', at: { value: 3, saving_pct: 3 } });
  });

  it('the least may be the best', () => {
    expect(findKnee(curve([1, 2, 3, 4], [9, 8, 7.5, 7]))).toEqual({
      kind: 'none',
      reason: 'falling',
    });
  });

  it('the number may change next to nothing', () => {
    expect(findKnee(curve([1, 2, 3, 4], [9, 9.03, 9.04, 9.04]))).toEqual({
      kind: 'none',
      reason: 'flat',
    });
  });

  it('three points are too few, and so are none', () => {
    expect(findKnee(curve([1, 2, 3], [0, 6, 8]))).toEqual({ kind: 'none', reason: 'few_points' });
    expect(findKnee([])).toEqual({ kind: 'none', reason: 'few_points' });
  });
});
