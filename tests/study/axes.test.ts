import { describe, expect, it } from 'vitest';
import { studyFile } from '../../src/config/study-file.ts';
import { axesOf } from '../../src/study/axes.ts';
import { StudyProblems } from '../../src/study/study-problems.ts';
import { documentOf } from '../config/drafts.ts';
import { seeded } from '../seeded.ts';

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
    expect(found).toEqual([0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1]);
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

  it('has the decimals that its ends and its count give, and nothing that computing left', () => {
    expect(values({ range: { start: 0.1, stop: 0.5, count: 5 } })).toEqual([
      0.1, 0.2, 0.3, 0.4, 0.5,
    ]);
    expect(values({ range: { start: -0.1, stop: 0.3, count: 5 } })).toEqual([
      -0.1, 0, 0.1, 0.2, 0.3,
    ]);
    expect(values({ range: { start: 1e20, stop: 1.2e20, count: 3 } })).toEqual([
      1e20, 1.1e20, 1.2e20,
    ]);
    expect(values({ range: { start: 1e-120, stop: 3e-120, count: 3 } })[1]).toBe(2e-120);
    expect(values({ logarithmic: { start: 0.001, stop: 1000, count: 7 } })).toEqual([
      0.001, 0.01, 0.1, 1, 10, 100, 1000,
    ]);
    expect(values({ range: { start: 0, stop: 1, count: 4 } })).toEqual([
      0, 0.3333333333333, 0.6666666666667, 1,
    ]);
  });

  it.each([0, 1, 2, 3, 4])('is exact in equal steps with %i decimals', (decimals) => {
    const random = seeded(decimals);
    for (let i = 0; i < 300; i++) {
      const first = Math.floor((random() - 0.5) * 1e5);
      const step = 1 + Math.floor(random() * 1e4);
      const count = 2 + Math.floor(random() * 50);
      const exact = Array.from({ length: count }, (_, k) =>
        Number(`${first + k * step}e-${decimals}`),
      );
      const range = { start: exact[0], stop: exact.at(-1), count };
      expect(values({ range })).toEqual(exact);
    }
  });
});
