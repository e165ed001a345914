import { describe, expect, it } from 'vitest';
import { durationText, progressLine } from '../../src/cli/study-progress.ts';

describe('the progress of a study', () => {
  it('tells how many are done, how fast, and what is left by what has been run', () => {
    // 30 in 2 s are 15 a second; of 200, 100 + 30 are done, and 70 take 4.7 s.
    const line = progressLine(200, 100, { finished: 30, failed: 2 }, 2000);
    expect(line).toBe('130 of 200 cases (65 %), 2 failed, 15 cases/s, 5 s left');
  });

  it('foretells nothing before a case has been run', () => {
    expect(progressLine(200, 0, { finished: 0, failed: 0 }, 2000)).toBe('0 of 200 cases (0 %)');
  });

  it('counts no study as done before it is', () => {
    expect(progressLine(1000, 0, { finished: 999, failed: 0 }, 1e6)).toContain('(99 %)');
  });

  it.each([
    [0, '0 s'],
    [59.4, '59 s'],
    [59.6, '1 min'],
    [3570, '1 h 0 min'],
    [9000, '2 h 30 min'],
  ])('tells %d s as %s', (seconds, text) => {
    expect(durationText(seconds)).toBe(text);
  });
});
