import { describe, expect, it } from 'vitest';
import { randomNumbers } from '../../src/optimum/random.ts';

function drawn(seed: number, count: number): number[] {
  const random = randomNumbers(seed);
  return Array.from({ length: count }, random);
}

describe('random numbers', () => {
  it('are those of their seed', () => {
    expect(drawn(7, 100)).toEqual(drawn(7, 100));
    const starts = Array.from({ length: 1000 }, (_, seed) => drawn(seed, 1)[0]);
    expect(new Set(starts).size).toBe(1000);
    expect(drawn(2 ** 32 - 1, 3)).not.toEqual(drawn(0, 3));
  });

  it('are spread evenly from 0 to 1', () => {
    const values = drawn(1, 100_000);
    expect(Math.min(...values)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...values)).toBeLessThan(1);
    // Ten boxes of 10 000 each have a standard deviation of 95; five of these are no chance.
    for (let box = 0; box < 10; box++) {
      const count = values.filter((value) => Math.floor(10 * value) === box).length;
      expect(Math.abs(count - 10_000)).toBeLessThan(475);
    }
  });

  it('say nothing of the ones that follow', () => {
    const values = drawn(2, 100_000).map((value) => value - 0.5);
    for (const lag of [1, 2, 5]) {
      const products = values.slice(lag).map((value, k) => value * values[k]!);
      const mean = products.reduce((sum, value) => sum + value, 0) / products.length;
      // The product of two independent ones has the standard deviation 1/12, its mean that over √n.
      expect(Math.abs(mean)).toBeLessThan((5 * (1 / 12)) / Math.sqrt(products.length));
    }
  });
});
