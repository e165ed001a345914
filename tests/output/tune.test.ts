import { describe, expect, it } from 'vitest';
import { PLAIN_DIALECT } from '../../src/output/csv-dialect.ts';
import { plainPaint } from '../../src/output/paint.ts';
import { tuneCsv } from '../../src/output/tune-csv.ts';
import { tuneMarkdown, tuneTable } from '../../src/output/tune-table.ts';
import { flatWords, gainWords, warningWords } from '../../src/output/tune-words.ts';
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
      'Saving against stop-start, mean over 2 cycles: 8.00 % before, 10.00 % after: +2.00 points better.',
      'The same, on the held-back cycle: 6.00 % before, 7.50 % after: +1.50 points better.',
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
    ['no numbers hold', { feasible: false }, /^No numbers within the bounds hold all constraints/],
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
  it('has a row a number, a figure of a cycle, a mean and a constraint', () => {
    const lines = tuneCsv(REPORT, PLAIN_DIALECT).trimEnd().split(/\r?\n/);
    expect(lines[0]).toBe('kind,name,figure,cycles,before,after,low,high,holds');
    expect(lines).toContain('objective,mean,saving_vs_stop_start_pct,tuned,8,10,,,');
    expect(lines).toContain('objective,mean,saving_vs_stop_start_pct,held_back,6,7.5,,,');
    expect(lines).toContain(
      'number,strategy.coast.floor_pct,strategy.coast.floor_pct,,5,12.5,0,50,',
    );
    expect(lines).toContain('cycle,jc08,fuel_store_L_per_100km,held_back,5,4.9,,,');
    expect(lines).toContain(
      'constraint,the starter is spared,counts_engine_starts_per_km,tuned,4,5.5,,6,1',
    );
    // Two objectives, a number, five figures of three cycles and two means, a constraint.
    expect(lines).toHaveLength(1 + 2 + 1 + 5 * 5 + 1);
  });

  it('is written with the signs that a spreadsheet wants', () => {
    const text = tuneCsv(REPORT, { delimiter: ';', decimal: ',' });
    expect(text).toContain('cycle;jc08;fuel_store_L_per_100km;held_back;5;4,9;;;');
  });
});
