import { describe, expect, it } from 'vitest';
import { PLAIN_DIALECT } from '../../src/output/csv-dialect.ts';
import { plainPaint } from '../../src/output/paint.ts';
import { tuneCsv } from '../../src/output/tune-csv.ts';
import { tuneMarkdown, tuneTable } from '../../src/output/tune-table.ts';
import { flatWords, gainWords, missWords, warningWords } from '../../src/output/tune-words.ts';
import type { NumberReport, ShownFigures, TuneReport } from '../../src/tune/report.ts';

function shown(fuel: number, saving: number): ShownFigures {
  return {
    fuel_baseline_L_per_100km: 7,
    fuel_stop_start_L_per_100km: 6.5,
    fuel_store_L_per_100km: fuel,
    saving_vs_baseline_pct: saving + 5,
    saving_vs_stop_start_pct: saving,
  };
}

const NUMBER: NumberReport = {
  path: 'strategy.coast.floor_pct',
  kind: 'strategy',
  from: 0,
  to: 50,
  scale: 'linear',
  before: 5,
  after: 12.5,
  at_bound: null,
  best_tenth: [12, 14],
  moved: [
    { direction: 'down', value: 7.5, loss: 0.125, state: 'held' },
    { direction: 'up', value: 17.5, loss: 0.5, state: 'broken' },
  ],
};

/** A report that nothing has to be warned of; invented. */
const REPORT: TuneReport = {
  schema_version: 1,
  tool: 'spinledger 0.0.0',
  model_version: '0',
  tune: 'night shift',
  inputs: [
    { kind: 'car', name: 'estate', hash: '0' },
    { kind: 'store', name: 'rim-60', hash: '1' },
    { kind: 'strategy', name: 'coast', hash: '2' },
  ],
  objective: {
    figure: 'saving_vs_stop_start_pct',
    over: 'mean',
    before: 8,
    after: 10,
    gain: 2,
  },
  held_back: { before: 6, after: 7.5, gain: 1.5 },
  feasible: true,
  numbers: [NUMBER],
  cycles: [
    { cycle: 'udds', held_back: false, share: 0.25, before: shown(6, 8.25), after: shown(5.8, 10) },
    { cycle: 'nycc', held_back: false, share: 0.75, before: shown(9, 7.5), after: shown(8, 10) },
    { cycle: 'jc08', held_back: true, share: 1, before: shown(5, 6), after: shown(4.9, 7.5) },
  ],
  means: {
    tuned: { before: shown(8.25, 8), after: shown(7.45, 10) },
    held_back: { before: shown(5, 6), after: shown(4.9, 7.5) },
  },
  constraints: [
    {
      name: 'the starter is spared',
      figure: 'counts_engine_starts_per_km',
      of: 'after',
      over: 'each',
      limits: { at_most: 6 },
      before: { holds: true, value: 4, cycle: 'nycc', slack: 2, why: null },
      after: { holds: true, value: 5.5, cycle: 'nycc', slack: 0.5, why: null },
      held_back: { holds: true, value: 3, cycle: 'jc08', slack: 3, why: null },
    },
  ],
  search: {
    seed: 1,
    budget: 200,
    evaluations: 200,
    around: 2,
    different: 190,
    held: 150,
    broken: 40,
    refused: 0,
    failed: 0,
    reason: null,
  },
};

describe('a tune for people', () => {
  it('says what was gained, where it was tuned and where it was not', () => {
    expect(gainWords(REPORT)).toEqual([
      'Saving against stop-start, mean over 2 cycles: 8.00 % before, 10.00 % after: 2.00 points better.',
      'The same, on the held-back cycle: 6.00 % before, 7.50 % after: 1.50 points better.',
    ]);
  });

  it('calls nothing better that is the same', () => {
    const same = { before: 6, after: 6, gain: 0 };
    expect(gainWords({ ...REPORT, held_back: same })[1]).toBe(
      'The same, on the held-back cycle: 6.00 % before and after.',
    );
  });

  it('says what got worse', () => {
    expect(gainWords({ ...REPORT, held_back: { before: 6, after: 5.5, gain: -0.5 } })[1]).toBe(
      'The same, on the held-back cycle: 6.00 % before, 5.50 % after: 0.50 points worse.',
    );
  });

  it('speaks of nothing better where no numbers hold all constraints, but of what is missed', () => {
    const after = { holds: false, value: 7.25, cycle: 'nycc', slack: -1.25, why: null };
    const [constraint] = REPORT.constraints;
    const missed: TuneReport = {
      ...REPORT,
      feasible: false,
      held_back: { before: 6, after: 5.5, gain: -0.5 },
      constraints: [
        { ...constraint!, name: 'the \u001bstarter', after },
        { ...constraint!, of: 'change_pct', after: { ...after, cycle: null } },
        constraint!,
      ],
    };
    expect(gainWords(missed)).toEqual([
      'Nothing was found: no set of numbers that was tried holds all constraints. Of the set that comes nearest:',
      '"the \\u001bstarter" (≤ 6) is missed by 1.25: 7.25 on nycc.',
      '"the starter is spared" (≤ 6 %) is missed by 1.25 %: 7.25 % in the mean.',
    ]);
    expect(warningWords(missed)).toHaveLength(1);
    for (const text of [tuneTable(missed, plainPaint), tuneMarkdown(missed)]) {
      expect(text).not.toMatch(/better|gained|\bafter\b/);
      expect(text).toContain('nearest');
      expect(text).not.toContain('What hangs on each number');
    }
  });

  it('names the budget, not bounds, where no constraint could be met for want of a search', () => {
    const after = { holds: false, value: 7.25, cycle: 'nycc', slack: -1.25, why: null };
    const unsearched: TuneReport = {
      ...REPORT,
      feasible: false,
      objective: { ...REPORT.objective, after: 8, gain: 0 },
      constraints: [{ ...REPORT.constraints[0]!, after }],
      search: { ...REPORT.search, budget: 1, evaluations: 1, around: 0, different: 1 },
    };
    expect(gainWords(unsearched)).toEqual([
      'The numbers of the files do not hold all constraints, and no others were tried:',
      '"the starter is spared" (≤ 6) is missed by 1.25: 7.25 on nycc.',
    ]);
    expect(warningWords(unsearched)).toEqual([
      'Nothing was searched: the budget is 1 set of numbers, and the first is that of the files.',
      'The numbers below are of no use as they stand: raise `budget.evaluations`.',
    ]);
  });

  it('says why nothing can be told of a constraint', () => {
    const after = { holds: false, value: null, cycle: null, slack: null, why: 'no figure' };
    const constraints = [{ ...REPORT.constraints[0]!, after }];
    expect(missWords({ constraints })).toEqual([
      '"the starter is spared" (≤ 6) cannot be told: no figure.',
    ]);
  });

  it('has nothing to warn of where all is well', () => {
    expect(warningWords(REPORT)).toEqual([]);
    expect(flatWords(REPORT)).toEqual([]);
  });

  it.each<[string, Partial<TuneReport>, RegExp]>([
    [
      'the gain is much smaller on what was held back',
      { held_back: { before: 6, after: 6.99, gain: 0.99 } },
      /^On the held-back cycles the gain is 0\.99 of 2\.00 points: the numbers fit/,
    ],
    [
      'nothing is gained there',
      { held_back: { before: 6, after: 5.5, gain: -0.5 } },
      /^On the held-back cycles nothing is gained \(-0\.50 points\)/,
    ],
    ['nothing was held back', { held_back: null }, /^No cycle was held back/],
    [
      'a constraint does not hold there',
      {
        constraints: [
          {
            ...REPORT.constraints[0]!,
            held_back: { holds: false, value: 7, cycle: 'jc08', slack: -1, why: null },
          },
        ],
      },
      /^On the held-back cycles this constraint does not hold: the starter is spared\.$/,
    ],
    [
      'a number stands at its bound',
      { numbers: [{ ...NUMBER, after: 50, at_bound: 'to' }] },
      /^coast\.floor_pct stands at its upper bound \(50, bounds 0 to 50\)/,
    ],
    [
      'the best is narrow',
      { numbers: [{ ...NUMBER, moved: NUMBER.moved.map((move) => ({ ...move, loss: 1.1 })) }] },
      /^More than half of the gain is lost with a tenth of its range, either way: coast\.floor_pct/,
    ],
    [
      'nothing better was found',
      { objective: { ...REPORT.objective, gain: 0 } },
      /^Nothing better/,
    ],
    [
      'the start was better, and not to be had',
      { objective: { ...REPORT.objective, gain: -1 } },
      /^The numbers of the files are better, but break a constraint\.$/,
    ],
    ['no numbers hold', { feasible: false }, /^The numbers below are of no use as they stand/],
    [
      'numbers would make no file',
      { search: { ...REPORT.search, refused: 3, reason: 'floor: found 3' } },
      /^3 sets of numbers of 190 would make no valid file.*/,
    ],
  ])('warns where %s', (_, change, words) => {
    const warnings = warningWords({ ...REPORT, ...change });
    expect(warnings[0]).toMatch(words);
    const table = tuneTable({ ...REPORT, ...change }, plainPaint);
    expect(table).toContain(`! ${warnings[0]!.slice(0, 40)}`);
    expect(tuneMarkdown({ ...REPORT, ...change })).toMatch(/^- /m);
  });

  it('says which numbers hardly matter', () => {
    const flat = NUMBER.moved.map((move) => ({ ...move, loss: 0.01 }));
    expect(flatWords({ ...REPORT, numbers: [{ ...NUMBER, moved: flat }] })[0]).toMatch(
      /^coast\.floor_pct hardly matters here: .* less than 0\.02 points\.$/,
    );
  });

  it('says nothing of moves that the budget did not reach, nor takes them for moves at a bound', () => {
    const [down] = NUMBER.moved.map((move) => ({ ...move, loss: 0.01 }));
    const half = { ...REPORT, numbers: [{ ...NUMBER, moved: [down!] }] };
    expect(flatWords(half)).toEqual([]);
    const table = tuneTable(half, plainPaint);
    expect(table).toMatch(/floor_pct +12 +14 +0\.01 +–\n/);
    expect(table).toContain('– was not tried: the budget had come to its end.');
    const bound = { ...NUMBER, after: 50, moved: [down!] };
    const whole = { ...REPORT, numbers: [bound] };
    expect(flatWords(whole)).toHaveLength(1);
    expect(tuneTable(whole, plainPaint)).toMatch(/floor_pct +12 +14 +0\.01 +at bound\n/);
    expect(tuneTable(whole, plainPaint)).not.toContain('not tried');
    const sharp = { ...REPORT, numbers: [{ ...NUMBER, moved: [{ ...down!, loss: 1.5 }] }] };
    expect(warningWords(sharp)).toEqual([]);
    const one = { ...REPORT.search, budget: 1, different: 1 };
    const alone = { ...REPORT, search: one, objective: { ...REPORT.objective, gain: 0 } };
    expect(warningWords(alone)[0]).toMatch(
      /^Nothing was searched: the budget is 1 set of numbers,/,
    );
  });

  it('shows every figure of it in 80 columns', () => {
    const table = tuneTable(REPORT, plainPaint);
    const row = (words: string) => table.split('\n').find((line) => line.startsWith(`  ${words}`));
    const cells = (words: string) => row(words)?.trim().split(/ {2,}/);
    expect(cells('coast.floor_pct')).toEqual(['coast.floor_pct', '5', '12.5', '0', '50']);
    expect(cells('nycc')).toEqual(['nycc (75 %)', '9.000', '8.000', '7.50', '10.00']);
    expect(cells('mean')).toEqual(['mean', '8.250', '7.450', '8.00', '10.00']);
    expect(cells('jc08')).toEqual(['jc08 (100 %)', '5.000', '4.900', '6.00', '7.50']);
    expect(cells('the starter')).toEqual(['the starter is spared', '≤ 6', '4.00', '5.50', '0.500']);
    expect(table).toMatch(/floor_pct +12 +14 +0\.13 +0\.50 \*\n/);
    for (const line of table.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
  });

  it('shows the same in Markdown', () => {
    const text = tuneMarkdown(REPORT);
    expect(text).toMatch(/^## night shift\n/);
    expect(text).toContain('| nycc (75 %) | 9.000 | 8.000 | 7.50 | 10.00 |');
    expect(text).toContain('### Cautions');
  });
});

describe('a tune as CSV', () => {
  it('has a row a cycle before and after, with the numbers it was driven with', () => {
    const lines = tuneCsv(REPORT, PLAIN_DIALECT).trimEnd().split(/\r?\n/);
    expect(lines).toEqual([
      'tune,numbers,cycles,cycle,share,strategy.coast.floor_pct,fuel_baseline_L_per_100km,fuel_stop_start_L_per_100km,fuel_store_L_per_100km,saving_vs_baseline_pct,saving_vs_stop_start_pct,holds_constraints',
      'night shift,before,tuned,udds,0.25,5,7,6.5,6,13.25,8.25,1',
      'night shift,before,tuned,nycc,0.75,5,7,6.5,9,12.5,7.5,1',
      'night shift,before,held_back,jc08,1,5,7,6.5,5,11,6,1',
      'night shift,after,tuned,udds,0.25,12.5,7,6.5,5.8,15,10,1',
      'night shift,after,tuned,nycc,0.75,12.5,7,6.5,8,15,10,1',
      'night shift,after,held_back,jc08,1,12.5,7,6.5,4.9,12.5,7.5,1',
    ]);
  });

  it('says of which numbers a constraint is broken', () => {
    const [constraint] = REPORT.constraints;
    const after = { ...constraint!.after, holds: false };
    const broken = { ...REPORT, constraints: [{ ...constraint!, after }] };
    const rows = tuneCsv(broken, PLAIN_DIALECT).trimEnd().split(/\r?\n/).slice(1);
    expect(rows.map((row) => row.endsWith(',1'))).toEqual([true, true, true, false, false, false]);
  });

  it('is written with the signs that a spreadsheet wants', () => {
    const text = tuneCsv(REPORT, { delimiter: ';', decimal: ',' });
    expect(text).toContain('night shift;after;held_back;jc08;1;12,5;7;6,5;4,9;12,5;7,5;1');
  });
});
