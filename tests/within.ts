import { expect } from 'vitest';

/**
 * Expects a number to lie within a relative tolerance of another; the message shows all three.
 * @param actual what came out
 * @param expected what should have come out
 * @param tolerance relative to `expected`
 */
export function expectWithin(actual: number, expected: number, tolerance: number): void {
  expect(
    Math.abs(actual - expected),
    `${actual} is not within ${tolerance} of ${expected}`,
  ).toBeLessThanOrEqual(tolerance * Math.abs(expected));
}

/** Largest value seen, with the case that gave it, so that one assertion can follow many cases. */
export class Worst {
  value = Number.NEGATIVE_INFINITY;
  at = 'never looked at';

  /** A value that is not a number counts as infinite. */
  see(value: number, at: () => string): void {
    const seen = Number.isNaN(value) ? Number.POSITIVE_INFINITY : value;
    if (seen <= this.value) return;
    this.value = seen;
    this.at = at();
  }

  expectAtMost(limit: number): void {
    expect(this.value, this.at).not.toBe(Number.NEGATIVE_INFINITY);
    expect(this.value, this.at).toBeLessThanOrEqual(limit);
  }
}
