import { describe, expect, it } from 'vitest';
import { soFarWords } from '../../src/cli/study-work.ts';

describe('where a study stands that was ended', () => {
  it.each([
    [{ total: 5, done: 3, failed: 1 }, '3 of 5 cases are finished', 'goes on with the others'],
    [
      { total: 5, done: 5, failed: 2 },
      '5 of 5',
      'tries the 2 that failed again, and writes the results',
    ],
    [{ total: 1, done: 1, failed: 0 }, '1 of 1 case', 'runs nothing more, and writes the results'],
  ])('is told of %j', (counts, done, next) => {
    const words = soFarWords(counts, 'out');
    expect(words).toContain(done);
    expect(words).toContain(`kept in out; the same command ${next}`);
    expect(soFarWords(counts, undefined)).toMatch(/, and nothing is kept without `--out FOLDER`$/);
  });
});
