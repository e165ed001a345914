import { describe, expect, it } from 'vitest';
import { type Attempt, searchNumbers, type Tried } from '../../src/simulate/number-search.ts';
import type { SearchedNumber } from '../../src/strategy/contract.ts';

const numbers: SearchedNumber[] = [
  { name: 'one', rungs: [0, 1, 2], start: 1 },
  { name: 'two', rungs: [-1, 0, 3], start: 0 },
  { name: 'three', rungs: [0, 10, 1000], start: 0 },
];

const judged =
  (cost: (values: readonly number[]) => number) =>
  (values: readonly number[]): Attempt => ({
    laps: 1,
    result: { cost: cost(values), rotorSpeed: 0 },
  });

/** Least, 1, in a narrow valley across the first two numbers, at 1.3, 0.9 and 6. */
const valley = ([one, two, three]: readonly number[]) =>
  1 + 100 * (one! + two! - 2.2) ** 2 + (one! - two! - 0.4) ** 2 + ((three! - 6) / 10) ** 2;

/** The same, with a cliff of up to 0.02 between any two sets, however near. */
const rugged = (values: readonly number[]) =>
  valley(values) + 0.02 * Math.abs(Math.sin(1e7 * (values[0]! + values[1]! + values[2]!)));

describe('a search for numbers', () => {
  it('finds the bottom of a valley that two of them make together', () => {
    const [best] = searchNumbers(numbers, 400, judged(valley));
    expect(best?.cost).toBe(valley(best!.values));
    expect(best?.cost).toBeLessThan(1.01);
    expect(best?.values[0]).toBeCloseTo(1.3, 1);
    expect(best?.values[2]).toBeCloseTo(6, 0);
  });

  it('is not held up by cliffs', () => {
    const [best] = searchNumbers(numbers, 400, judged(rugged));
    expect(best?.cost).toBeLessThan(1.03);
  });

  it('gives all sets it tried, the best first, the same each time', () => {
    const tried = searchNumbers(numbers, 200, judged(rugged));
    // The last row of steps is gone through to its end.
    expect(tried.length).toBeGreaterThanOrEqual(200);
    expect(tried.length).toBeLessThan(204);
    const costs = tried.map(({ cost }) => cost);
    expect(costs).toEqual(costs.toSorted((a, b) => a - b));
    expect(searchNumbers(numbers, 200, judged(rugged))).toEqual(tried);
  });

  it('begins with the lowest values and the usual ones, and stays within the ranges', () => {
    const seen: (readonly number[])[] = [];
    searchNumbers(numbers, 300, (values) => {
      seen.push(values);
      // Falls towards the upper ends, where steps would leave the range.
      return judged(([one, two, three]) => -one! - two! - three!)(values);
    });
    expect(seen.slice(0, 2)).toEqual([
      [0, -1, 0],
      [1, 0, 0],
    ]);
    for (const [k, { rungs }] of numbers.entries()) {
      const values = seen.map((set) => set[k]!);
      expect(Math.min(...values)).toBe(rungs[0]);
      expect(Math.max(...values)).toBe(rungs.at(-1));
    }
  });

  it('counts the laps of sets that are given up, and does not return these', () => {
    const bests: (Tried | undefined)[] = [];
    const tried = searchNumbers(numbers, 100, (values, best) => {
      bests.push(best);
      return best === undefined || values[0]! < 1 ? judged(valley)(values) : { laps: 5 };
    });
    const givenUp = bests.length - tried.length;
    expect(givenUp).toBeGreaterThan(5);
    const laps = tried.length + 5 * givenUp;
    // The last row of steps may go beyond.
    expect(laps).toBeGreaterThanOrEqual(100);
    expect(laps).toBeLessThan(100 + 5 * 5);
    expect(bests.slice(0, 2)).toEqual([undefined, undefined]);
    expect(bests[2]?.cost).toBe(Math.min(valley([0, -1, 0]), valley([1, 0, 0])));
  });

  it('goes on looking where most sets do the same', () => {
    // A wide floor of 1, and far from its middle a pit that has to be found by steps down its side.
    const floor = ([one, two]: readonly number[]) =>
      Math.min(1, 0.4 + 2 * Math.hypot(one! - 1.7, (two! - 2.2) / 2));
    const [best] = searchNumbers(numbers, 300, judged(floor));
    expect(best?.cost).toBeLessThan(0.45);
  });
});
