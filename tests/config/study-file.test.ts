import { describe, expect, it } from 'vitest';
import { checkShape } from '../../src/config/check-shape.ts';
import { DocumentProblems } from '../../src/config/document.ts';
import { InputError, type Problem } from '../../src/config/problem.ts';
import { studyFile } from '../../src/config/study-file.ts';
import { documentOf, exampleData } from './drafts.ts';

/** What the schema has against a study. */
function problemsOf(study: object): readonly Problem[] {
  const document = documentOf({ name: 'draft', ...study });
  const problems = new DocumentProblems(document);
  checkShape(studyFile, document, problems);
  try {
    problems.throwIfAny();
  } catch (error) {
    if (error instanceof InputError) return error.problems;
    throw error;
  }
  return [];
}

describe('the schema of a study', () => {
  it('fills in what may be left out', () => {
    expect(studyFile.parse({ name: 'least' })).toEqual({
      name: 'least',
      vary: [],
      cases: [],
      exclude: [],
      outputs: { logs: false, explain: false, bound: false },
    });
    expect(studyFile.parse({ name: 'one', outputs: { explain: true } }).outputs).toEqual({
      logs: false,
      explain: true,
      bound: false,
    });
    expect(studyFile.parse({ name: 'one', cases: [{}] }).cases).toEqual([{ set: {} }]);
  });

  it('takes every form of every list', () => {
    const study = {
      cars: ['estate', './cars/*.json', exampleData('cars/van.json')],
      stores: [exampleData('stores/rim-45.json')],
      strategies: [exampleData('strategies/duty-cycle.json')],
      cycles: ['2*udds', { name: 'c', time_s: [0, 1], speed_kmh: [0, 1], grade_pct: [0, 0] }],
      vary: [
        { path: 'car.mass_kg', list: [1] },
        { path: 'car.mass_kg', range: { start: 1, stop: 2, count: 2 } },
        { path: 'car.mass_kg', logarithmic: { start: 1, stop: 2, count: 2 } },
        { pairs: 'pairs.csv' },
      ],
      cases: [{ car: 'a', store: 'b', strategy: 'c', cycle: 'd', set: { 'car.mass_kg': 3 } }],
      exclude: [{ car: 'a', cycle: ['c', 'd'], 'car.mass_kg': 3, 'store.mass_kg': { above: 3 } }],
      cycle_shares: { udds: 3 },
      outputs: { logs: true, explain: true, bound: true },
    };
    expect(problemsOf(study)).toEqual([]);
  });

  it.each([
    [{ cars: [] }, 'cars', 'at least one car'],
    [{ cars: 'estate' }, 'cars', 'a list of: the bare name of a shipped example, a path or a glob'],
    [{ cars: [3] }, 'cars[0]', 'or a whole car in braces'],
    [{ cycles: [['udds']] }, 'cycles[0]', 'or a whole cycle in braces'],
    [{ vary: {} }, 'vary', 'a list of axes'],
    [{ vary: ['car.mass_kg'] }, 'vary[0]', 'an object with `path` and one of'],
    [{ vary: [{ path: '', list: [1] }] }, 'vary[0].path', 'a text in quotation marks'],
    [{ cases: [{ store: 3 }] }, 'cases[0].store', 'a text in quotation marks'],
    [{ cases: [{ set: [1] }] }, 'cases[0].set', 'an object in braces with paths'],
    [{ exclude: [{ store: [] }] }, 'exclude[0].store', 'a name, or a list of names'],
    [{ exclude: ['rim-60'] }, 'exclude[0]', 'an object in braces with conditions'],
    [{ cycle_shares: { udds: -1 } }, 'cycle_shares.udds', 'divided by their sum'],
    [{ outputs: { logs: 'yes' } }, 'outputs.logs', 'true or false'],
  ])('says what was expected: %o', (study, path, expected) => {
    const problems = problemsOf(study);
    expect(problems).toMatchObject([{ file: 'draft.json', path }]);
    expect(problems[0]!.expected).toContain(expected);
  });

  it.each([
    [{ exlude: [] }, 'exlude', '`exclude`'],
    [{ cases: [{ sets: {} }] }, 'cases[0].sets', '`set`'],
    [{ vary: [{ path: 'a', lst: [1] }] }, 'vary[0].lst', '`list`'],
    [
      { vary: [{ path: 'a', range: { start: 1, stp: 2, count: 2 } }] },
      'vary[0].range.stp',
      '`stop`',
    ],
  ])('finds the key that was meant: %o', (study, path, key) => {
    expect(problemsOf(study)).toMatchObject([
      { code: 'unknown-key', path, hint: `did you mean ${key}?` },
    ]);
  });
});
