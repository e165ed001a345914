import { describe, expect, it } from 'vitest';
import { FeasibilityRules, isFeasible, type Merit } from '../../src/optimum/merit.ts';

function merit(objective: number, ...violations: number[]): Merit {
  return { objective, violations };
}

describe('the feasibility rules', () => {
  const rules = new FeasibilityRules([merit(0, 10, 0.01), merit(0, 5, 0)]);

  it('put what holds all constraints before what does not, whatever the objective', () => {
    expect(rules.compare(merit(1e9, 0, 0), merit(-1e9, 0, 1e-9))).toBeLessThan(0);
    expect(rules.compare(merit(-1e9, 1e-9, 0), merit(1e9, 0, 0))).toBeGreaterThan(0);
  });

  it('compare what holds all constraints by the objective', () => {
    expect(rules.compare(merit(1, 0, 0), merit(2, 0, 0))).toBeLessThan(0);
    expect(rules.compare(merit(2, 0, 0), merit(2, 0, 0))).toBe(0);
  });

  it('compare what does not by how much is missed, as shares of the most at the beginning', () => {
    // 4 of 10 is less than 0.006 of 0.01, though not in number.
    expect(rules.compare(merit(9, 4, 0), merit(0, 0, 0.006))).toBeLessThan(0);
    expect(rules.compare(merit(9, 4, 0.003), merit(0, 0, 0.006))).toBeGreaterThan(0);
    expect(rules.compare(merit(1, 4, 0), merit(0, 4, 0))).toBe(0);
  });

  it('put what nothing can be said of behind all else', () => {
    expect(rules.compare(merit(Number.NaN, 0, 0), merit(0, 1e9, 1e9))).toBeGreaterThan(0);
    expect(
      rules.compare(merit(0, Number.POSITIVE_INFINITY, 0), merit(0, 1e9, 1e9)),
    ).toBeGreaterThan(0);
    expect(rules.compare(merit(Number.NaN, 0, 0), merit(Number.NaN, 5, 0))).toBe(0);
    expect(isFeasible(merit(Number.NaN, 0, 0))).toBe(false);
    expect(isFeasible(merit(3, 0, 0))).toBe(true);
  });

  it('work where nothing is missed at the beginning, or infinitely much', () => {
    const none = new FeasibilityRules([merit(0, 0), merit(0, Number.POSITIVE_INFINITY)]);
    expect(none.compare(merit(0, 1), merit(0, 2))).toBeLessThan(0);
  });

  it('choose the first of several that are equal', () => {
    const points = [merit(2, 0, 0), merit(1, 0, 0), merit(1, 0, 0)].map((one) => ({ merit: one }));
    expect(rules.best(points as [{ merit: Merit }])).toBe(points[1]);
  });
});
