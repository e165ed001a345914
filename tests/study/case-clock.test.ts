import { describe, expect, it } from 'vitest';
import { BEGIN_LIMIT, CaseClock, NO_CASE, sharedLimit } from '../../src/study/case-clock.ts';

const SECOND = 1000;

describe('the clock of a case', () => {
  it('does not count what its thread needs to load', () => {
    const clock = new CaseClock(2, 0);
    expect(clock.isLate(NO_CASE, 60 * SECOND)).toBe(false);
    expect(clock.isLate(0, 61 * SECOND)).toBe(false);
    expect(clock.isLate(0, 63 * SECOND)).toBe(false);
    expect(clock.isLate(0, 63 * SECOND + 1)).toBe(true);
  });

  it('begins anew with each case, and when the last of them has ended', () => {
    const clock = new CaseClock(2, 0);
    clock.isLate(0, 0);
    expect(clock.isLate(1, 2 * SECOND)).toBe(false);
    expect(clock.isLate(1, 4 * SECOND)).toBe(false);
    expect(clock.isLate(NO_CASE, 5 * SECOND)).toBe(false);
    expect(clock.isLate(NO_CASE, 50 * SECOND)).toBe(false);
  });

  it('does not wait for ever for a thread that never begins', () => {
    const clock = new CaseClock(2, 0);
    expect(clock.isLate(NO_CASE, BEGIN_LIMIT * SECOND)).toBe(false);
    expect(clock.isLate(NO_CASE, BEGIN_LIMIT * SECOND + 1)).toBe(true);
  });

  it('runs as much slower as cases share cores', () => {
    expect(sharedLimit(10, 1, 4)).toBe(10);
    expect(sharedLimit(10, 4, 4)).toBe(10);
    expect(sharedLimit(10, 64, 4)).toBe(160);
  });
});
