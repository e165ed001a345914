import { describe, expect, it } from 'vitest';
import { studyFile } from '../../src/config/study-file.ts';
import { axesOf } from '../../src/study/axes.ts';
import { StudyProblems } from '../../src/study/study-problems.ts';
import { documentOf } from '../config/drafts.ts';

/** The values of an axis. */
function values(entry: object): readonly number[] {
  const vary = [{ path: 'store.mass_kg', ...entry }];
  const document = documentOf({ name: 'x', vary });
  const problems = new StudyProblems(document);
  const { axes } = axesOf(studyFile.parse(document.value).vary, problems);
  problems.throwIfAny();
  return axes[0]!.columns[0]!;
}

describe('an axis', () => {
  it('has the values of a list in its order', () => {
    expect(values({ list: [3, 1, 2] })).toEqual([3, 1, 2]);
  });

  it('goes in equal steps, each computed from its number alone', () => {
    const found = values({ range: { start: 0, stop: 1, count: 11 } });
    expect(found).toEqual(Array.from({ length: 11 }, (_, k) => k * 0.1).with(10, 1));
    // A running sum would have come to 0.7999999999999999 here.
    expect(found[8]).toBe(0.8);
    expect(values({ range: { start: 10, stop: -10, count: 3 } })).toEqual([10, 0, -10]);
  });

  it('ends exactly where it was told to, whatever the rounding', () => {
    for (let count = 2; count < 200; count++) {
      expect(values({ range: { start: 0.1, stop: 0.7, count } }).at(-1)).toBe(0.7);
      const ratios = values({ logarithmic: { start: 0.3, stop: 70.1, count } });
      expect(ratios).toHaveLength(count);
      expect([ratios[0], ratios.at(-1)]).toEqual([0.3, 70.1]);
    }
  });

  it('goes in equal ratios, upward, downward and below zero', () => {
    expect(values({ logarithmic: { start: 60, stop: 960, count: 5 } })).toEqual([
      60, 120, 240, 480, 960,
    ]);
    expect(values({ logarithmic: { start: 16, stop: 1, count: 3 } })).toEqual([16, 4, 1]);
    expect(values({ logarithmic: { start: -1, stop: -16, count: 3 } })).toEqual([-1, -4, -16]);
  });
});
