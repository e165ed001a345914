import { describe, expect, it } from 'vitest';
import { InputError, type Problem } from '../../src/config/problem.ts';
import { chosenColumns, studyColumns } from '../../src/output/study-columns.ts';
import { flatSummary } from '../../src/summary/flat.ts';
import { plainSummary } from './plain-case.ts';

const varied = ['store.rotor.energy_at_max_kJ', 'car.mass_kg'];
const all = studyColumns({ varied, explain: false, bound: false });

function problems(text: string): readonly Problem[] {
  try {
    chosenColumns(all, text);
  } catch (error) {
    if (error instanceof InputError) return error.problems;
    throw error;
  }
  return [];
}

describe('the columns of a study', () => {
  it('begin with what a case is, what is varied, and how it ended', () => {
    expect(all.slice(0, 9)).toEqual([
      'case_car',
      'case_store',
      'case_strategy',
      'case_cycle',
      ...varied,
      'case_hash',
      'state',
      'error',
    ]);
  });

  it('go on with all others of a run, in their order, each once', () => {
    const others = Object.keys(flatSummary(plainSummary)).filter((name) => !/^case_/.test(name));
    expect(all.slice(9)).toEqual(others);
    expect(new Set(all).size).toBe(all.length);
  });

  it('end with the steps of the savings where these are asked for', () => {
    const explained = studyColumns({ varied, explain: true, bound: false });
    expect(explained.slice(0, all.length)).toEqual(all);
    const steps = explained.slice(all.length);
    expect(steps.length).toBeGreaterThan(10);
    expect(steps.every((name) => name.startsWith('waterfall_'))).toBe(true);
  });

  it('end with the bound where it is asked for, behind the steps', () => {
    const bounded = studyColumns({ varied, explain: true, bound: true });
    const explained = studyColumns({ varied, explain: true, bound: false });
    expect(bounded.slice(0, explained.length)).toEqual(explained);
    expect(bounded.slice(explained.length)).toEqual([
      'fuel_bound_L_per_100km',
      'fuel_bound_co2_g_per_km',
      'bound_gap_pct',
      'bound_refinement_pct',
      'bound_saving_vs_baseline_pct',
      'bound_saving_vs_stop_start_pct',
      'bound_shortfall_kJ',
    ]);
  });
});

describe('--columns', () => {
  it('takes columns in the order in which they are named', () => {
    expect(chosenColumns(all, 'saving_vs_baseline_pct, case_car,car.mass_kg')).toEqual([
      'saving_vs_baseline_pct',
      'case_car',
      'car.mass_kg',
    ]);
  });

  it('takes all that begin alike with a star', () => {
    const missed = all.filter((name) => name.startsWith('missed_recovery_'));
    expect(missed.length).toBe(11);
    expect(chosenColumns(all, 'case_car,missed_recovery_*')).toEqual(['case_car', ...missed]);
    expect(chosenColumns(all, '*')).toEqual(all);
  });

  it.each([
    ['case_kar', 'did you mean `case_car`?'],
    ['fuel_store', 'did you mean `fuel_store_L_per_100km`?'],
    ['mass_kg', 'did you mean `car.mass_kg`?'],
    ['vs_baseline', 'did you mean `saving_vs_baseline_pct`?'],
    ['missed_recovry_*', 'did you mean `missed_recovery_*`?'],
    ['xyzzy', 'without `--columns` all of them are printed'],
  ])('says which column may have been meant by %s', (name, hint) => {
    const [problem, ...more] = problems(name);
    expect(more).toEqual([]);
    expect(problem).toMatchObject({ code: 'unknown-column', file: '--columns', found: name });
    expect(problem?.hint).toContain(hint);
  });

  it('refuses a column twice, by its name or by a star', () => {
    expect(problems('state,case_car,state')).toMatchObject([{ found: 'state twice' }]);
    expect(problems('fuel_*,fuel_store_L_per_100km')).toMatchObject([
      { code: 'doubled-column', found: 'fuel_store_L_per_100km twice' },
    ]);
    expect(problems('case_car,case_*')).toMatchObject([{ found: 'case_car again by case_*' }]);
  });

  it('refuses an empty name, and tells all that is wrong at once', () => {
    expect(problems('').map(({ code }) => code)).toEqual(['empty-column']);
    expect(problems('case_car,,nope,case_car').map(({ code }) => code)).toEqual([
      'empty-column',
      'unknown-column',
      'doubled-column',
    ]);
  });
});
