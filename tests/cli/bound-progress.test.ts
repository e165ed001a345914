import { describe, expect, it } from 'vitest';
import { progressWords } from '../../src/cli/bound.ts';

describe('how far the search of a bound is', () => {
  it('is told without a time as long as it tells little, then with what is left at the pace so far', () => {
    expect(progressWords(0.078, 5000)).toBe('bound: 7 % searched');
    expect(progressWords(0.5, 50_000)).toBe('bound: 50 % searched, 50 s left at most');
    expect(progressWords(0.75, 90_000)).toBe('bound: 75 % searched, 30 s left at most');
  });
});
