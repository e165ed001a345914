import { describe, expect, it } from 'vitest';
import { exampleData } from '../config/drafts.ts';
import { HILLS, SMALL, STOPS, tuneOf, tuneProblems } from './tunes.ts';

const [STOP_ABOVE] = SMALL.vary;

async function problemOf(tune: object) {
  const problems = await tuneProblems(tune);
  expect(problems).toHaveLength(1);
  return problems[0]!;
}

describe('a tune', () => {
  it('starts from the numbers of its files, and from defaults where they have none', async () => {
    const { numbers, evaluations, seed } = await tuneOf({
      ...SMALL,
      vary: [
        ...SMALL.vary,
        { path: 'strategy.assist.share_pct', from: 50, to: 100 },
        { path: 'store.power_limit_kW', from: 20, to: 80, scale: 'logarithmic' },
      ],
      budget: undefined,
    });
    expect(numbers.map(({ start }) => start)).toEqual([
      15,
      20,
      100,
      exampleData('stores/rim-60.json').power_limit_kW,
    ]);
    expect(evaluations).toBe(800);
    expect(seed).toBe(1);
  });

  it('has the shares of its cycles, and of those held back among themselves', async () => {
    const { cycles } = await tuneOf({
      ...SMALL,
      cycles: [HILLS, STOPS],
      held_back: ['nycc'],
      cycle_shares: { hills: 3, stops: 1 },
    });
    expect(cycles.map(({ name, share, isHeldBack }) => [name, share, isHeldBack])).toEqual([
      ['hills', 0.75, false],
      ['stops', 0.25, false],
      ['nycc', 1, true],
    ]);
  });

  it('tells where what is held back is a drive that the numbers are tuned on', async () => {
    const plain = { ...SMALL, cycles: ['udds', 'nycc'] };
    const notices = async (held: string) => (await tuneOf({ ...plain, held_back: [held] })).notices;
    expect(await notices('jc08')).toEqual([]);
    expect(await notices('2*udds')).toEqual([
      expect.stringMatching(/^The held-back cycle 2\*udds is made from the same drive as udds,/),
    ]);
  });

  it('names the cycles whose shares are nothing', async () => {
    const tune = { ...SMALL, cycles: ['udds', 'nycc'], held_back: ['jc08'] };
    const shares = { udds: 1, nycc: 1, jc08: 0 };
    expect(await problemOf({ ...tune, cycle_shares: shares })).toMatchObject({
      path: 'cycle_shares',
      found: 'shares in sum 0 of jc08',
    });
  });

  it('takes whole parts in place of their names', async () => {
    const strategy = exampleData('strategies/keep-off.json');
    const { parts } = await tuneOf({ ...SMALL, strategy });
    expect(parts.strategy.digest).toBe((await tuneOf(SMALL)).parts.strategy.digest);
  });

  it.each([
    ['a key that is none', { varry: [] }, 'unknown-key', 'varry'],
    ['no cycles', { cycles: undefined }, 'missing-key', 'cycles'],
    ['no car', { car: undefined }, 'missing-key', 'car'],
    ['no number', { vary: [] }, 'out-of-range', 'vary'],
    ['a car that is none', { car: 'estat' }, 'unknown-car', 'car'],
    ['a pattern', { store: 'rim-*.json' }, 'pattern', 'store'],
    ['a cycle that is none', { cycles: ['nyc'] }, 'unknown-cycle', 'cycles[0]'],
    ['a budget of nothing', { budget: { evaluations: 0 } }, 'out-of-range', 'budget.evaluations'],
    ['half a seed', { budget: { seed: 0.5 } }, 'wrong-type', 'budget.seed'],
    [
      'an objective that is none',
      { objective: { figure: 'saving_vs_stop_start' } },
      'unknown-value',
      'objective.figure',
    ],
    [
      'a cycle held back that is tuned on',
      { held_back: [HILLS] },
      'held-back-tuned',
      'held_back[0]',
    ],
    ['a share of no cycle', { cycle_shares: { hils: 1 } }, 'unknown-cycle', 'cycle_shares.hils'],
    ['shares of nothing', { cycle_shares: { hills: 0 } }, 'out-of-range', 'cycle_shares'],
    [
      'a constraint without a limit',
      { constraints: [{ figure: 'counts_engine_starts' }] },
      'missing-key',
      'constraints[0]',
    ],
    [
      'limits without room',
      { constraints: [{ figure: 'counts_engine_starts', at_least: 3, at_most: 2 }] },
      'inconsistent',
      'constraints[0]',
    ],
    [
      'a constraint on no figure',
      { constraints: [{ figure: 'counts_engine_start', at_most: 2 }] },
      'unknown-figure',
      'constraints[0].figure',
    ],
    [
      'a mean that says nothing',
      { constraints: [{ figure: 'counts_engine_starts', over: 'mean', at_most: 2 }] },
      'no-mean',
      'constraints[0].figure',
    ],
    [
      'a constraint on no cycle',
      { constraints: [{ figure: 'counts_engine_starts', at_most: 2, cases: { cycle: 'hils' } }] },
      'unknown-cycle',
      'constraints[0].cases.cycle',
    ],
  ])('is refused with %s', async (_, change, code, path) => {
    const problems = await tuneProblems({ ...SMALL, ...change });
    expect(problems.map((problem) => [problem.code, problem.path])).toContainEqual([code, path]);
    expect(problems[0]!.file).toMatch(/^(tune\.json|estat)$/);
  });

  it.each([
    [{ from: 30, to: 20 }, 'out-of-range', '30 to 20'],
    [{ from: 20, to: 20 }, 'out-of-range', '20 to 20'],
    [{ from: 0, to: 80, scale: 'logarithmic' }, 'out-of-range', '0 to 80'],
    [{ from: -1, to: 80 }, 'out-of-range', 'the bound -1'],
    [{ from: 5, to: 101 }, 'out-of-range', 'the bound 101'],
    [{ from: 16, to: 80 }, 'start-outside', 'bounds 16 to 80, and 15 in strategy keep-off'],
    [{ from: 5, to: 14 }, 'start-outside', 'bounds 5 to 14, and 15 in strategy keep-off'],
    [{ path: 'strategy.keep_off.stop_abov_pct' }, 'unknown-path', 'no such number'],
    [{ path: 'strategy.coast.floor_pct' }, 'unknown-path', 'no such number'],
    [{ path: 'strategy.name' }, 'unknown-path', 'no such number'],
    [{ path: 'cycle.speed' }, 'unknown-path', '"cycle.speed"'],
  ])('is refused with the number %o', async (change, code, found) => {
    const problem = await problemOf({ ...SMALL, vary: [{ ...STOP_ABOVE, ...change }] });
    expect(problem).toMatchObject({ code, file: 'tune.json' });
    expect(problem.found).toContain(found);
    expect(problem.line).toBeGreaterThan(1);
  });

  it('is refused with the same number twice', async () => {
    const problem = await problemOf({ ...SMALL, vary: [STOP_ABOVE, STOP_ABOVE] });
    expect(problem).toMatchObject({ code: 'duplicate-path', path: 'vary[1].path' });
  });

  it('is told all of its problems at once', async () => {
    const problems = await tuneProblems({
      ...SMALL,
      car: 'estat',
      held_back: ['nyc'],
      vary: [{ ...STOP_ABOVE, to: 101 }],
      constraints: [{ figure: 'counts_engine_start', at_most: 2 }],
    });
    expect(problems.map(({ code }) => code).toSorted()).toEqual([
      'out-of-range',
      'unknown-car',
      'unknown-cycle',
      'unknown-figure',
    ]);
  });
});
