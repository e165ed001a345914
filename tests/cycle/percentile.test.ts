import { median } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { percentile } from '../../src/cycle/percentile.ts';
import { seeded } from '../seeded.ts';

describe('a percentile', () => {
  it('lies between the sorted values by its share of the way', () => {
    const values = Float64Array.of(0, 1, 1.5, 2);
    expect(percentile(values, 0)).toBe(0);
    expect(percentile(values, 1)).toBe(2);
    expect(percentile(values, 0.5)).toBe(1.25);
    // Place 2.85 of 0 … 3: 1.5 and 0.85 of the way to 2.
    expect(percentile(values, 0.95)).toBeCloseTo(1.925, 14);
  });

  it('of one value is that value, and of none is not a number', () => {
    expect(percentile(Float64Array.of(7), 0.95)).toBe(7);
    expect(percentile(new Float64Array(0), 0.95)).toBeNaN();
  });

  it('of a half is the median, as a library of statistics has it', () => {
    const random = seeded(70);
    for (let count = 1; count < 60; count++) {
      const values = Float64Array.from({ length: count }, random).sort();
      expect(percentile(values, 0.5)).toBeCloseTo(median([...values]), 14);
    }
  });
});
