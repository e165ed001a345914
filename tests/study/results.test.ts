import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readResult } from '../../src/study/results.ts';
import { flatSummary } from '../../src/summary/flat.ts';
import { problemsOf } from '../config/drafts.ts';
import { explained } from '../output/explained-case.ts';
import { plainSummary } from '../output/plain-case.ts';
import { doneRecord, failedRecord } from './records.ts';
import { emptyFolder, folderOf } from './results.ts';

const FUEL = 'fuel_store_L_per_100km';
const COLUMNS = { required: [FUEL, 'saving_vs_baseline_pct'], asked: [] };

/** A file with a text, in a folder that goes. */
function fileWith(text: string): string {
  const file = join(emptyFolder(), 'result.json');
  writeFileSync(file, text);
  return file;
}

const read = (source: string) => readResult(source, COLUMNS);

describe('the JSON of a run', () => {
  it('is read with the very figures that it holds', async () => {
    const required = Object.entries(flatSummary(plainSummary))
      .filter(([, value]) => typeof value === 'number')
      .map(([name]) => name);
    const file = fileWith(JSON.stringify(plainSummary));
    const result = await readResult(file, { required, asked: [] });
    expect(result).toMatchObject({ source: file, study: null, tools: ['spinledger 9.9.9'] });
    const flat = flatSummary(plainSummary);
    expect(required.length).toBeGreaterThan(60);
    for (const name of required) expect(result.rows[0]?.figures.of(name)).toBe(flat[name]);
    expect(result.figures.has('saving_balance_slope')).toBe(true);
    expect(result.figures.has('saving_balance_method')).toBe(false);
  });

  it('is refused where it is no JSON, no result, or of another version', async () => {
    expect(await problemsOf(read(fileWith('{')))).toMatchObject([{ code: 'broken-json' }]);
    expect(await problemsOf(read(fileWith('[1]')))).toMatchObject([{ code: 'no-result' }]);
    expect(await problemsOf(read(fileWith('{"name": "a car"}')))).toMatchObject([
      { code: 'no-result', found: '{"name":"a car"}' },
    ]);
    const later = { ...plainSummary, schema_version: 2 };
    expect(await problemsOf(read(fileWith(JSON.stringify(later))))).toMatchObject([
      { code: 'schema-version', found: '2', path: 'schema_version' },
    ]);
    expect(await problemsOf(read('/nowhere/at/all.json'))).toMatchObject([{ code: 'no-file' }]);
  });

  it('is refused with every part that is not there', async () => {
    const { tool: _tool, warnings: _warnings, ...rest } = plainSummary;
    const broken = { ...rest, case: { ...rest.case, hash: 7 } };
    const problems = await problemsOf(read(fileWith(JSON.stringify(broken))));
    expect(problems.map(({ path }) => path)).toEqual(['tool', 'case.hash', 'warnings']);
  });

  it.each([
    ['is missing', undefined, 'no such figure'],
    ['is a text', '5.1', '"5.1"'],
    ['is a list', [5.1], '[5.1]'],
  ])('is refused where a figure that is needed %s', async (_, value, found) => {
    const fuel = { ...plainSummary.fuel, store_L_per_100km: value };
    const problems = await problemsOf(read(fileWith(JSON.stringify({ ...plainSummary, fuel }))));
    expect(problems).toMatchObject([{ code: 'missing-figure', path: FUEL, found }]);
  });

  it('is refused where a figure is beyond all numbers', async () => {
    const text = JSON.stringify({ ...plainSummary, fuel: { store_L_per_100km: 0 } });
    const huge = text.replace('"store_L_per_100km":0', '"store_L_per_100km":1e999');
    const problems = await problemsOf(read(fileWith(huge)));
    expect(problems).toMatchObject([{ code: 'missing-figure', found: 'Infinity' }]);
  });

  it('is refused where a saving, or the gap to the bound, does not follow from its fuels', async () => {
    const whole = doneRecord({ fuel: [5.2134, 4.8312, 4.5077], bound: 4.2015 });
    const changes = [
      [
        'saving.vs_stop_start_pct',
        { ...whole, saving: { ...whole.saving, vs_stop_start_pct: 7.5 } },
      ],
      ['bound.gap_pct', { ...whole, bound: { ...whole.bound!, gap_pct: 7.55 } }],
    ] as const;
    for (const [path, record] of changes) {
      const [problem, ...more] = await problemsOf(read(folderOf([whole, record])));
      expect(problem).toMatchObject({ code: 'not-of-its-fuel', path, line: 2 });
      expect(more).toEqual([]);
    }
    const fuel = { ...whole.fuel, store_L_per_100km: 4.4001 };
    const problems = await problemsOf(read(folderOf([{ ...whole, fuel }])));
    expect(problems.map(({ path, expected }) => [path, expected?.split(',')[0]])).toEqual([
      ['saving.vs_baseline_pct', '15.6002'],
      ['saving.vs_stop_start_pct', '8.92325'],
      ['bound.gap_pct', '4.72688'],
    ]);
  });

  it('may be rounded to any digits, but no further off than that', async () => {
    // 100 (5.637 − 5.081) / 5.637 = 9.8634; with 5.64 and 5.08 it is 9.929.
    const made = doneRecord({ fuel: [5.637, 5.637, 5.081] });
    const rounded = (store: number, percent: number) => ({
      ...made,
      fuel: { ...made.fuel, baseline_L_per_100km: 5.64, store_L_per_100km: store },
      saving: { ...made.saving, vs_baseline_pct: percent, vs_stop_start_pct: null },
    });
    for (const percent of [9.86, 9.8634, 10, 9.929]) {
      expect((await read(folderOf([rounded(5.08, percent)]))).rows).toHaveLength(1);
    }
    for (const [store, percent] of [
      [5.08, 10.3],
      [5.08, 9],
      [5.11, 9.8634],
    ] as const) {
      expect(await problemsOf(read(folderOf([rounded(store, percent)])))).toMatchObject([
        { code: 'not-of-its-fuel', path: 'saving.vs_baseline_pct' },
      ]);
    }
  });

  it('has NaN for a figure without a value, for which no limit holds', async () => {
    const saving = { ...plainSummary.saving, vs_baseline_pct: null };
    const result = await read(fileWith(JSON.stringify({ ...plainSummary, saving })));
    expect(result.rows[0]?.figures.of('saving_vs_baseline_pct')).toBeNaN();
  });

  it('is refused with every figure of a group that is not there', async () => {
    const { ledger: _, ...rest } = plainSummary;
    const required = [FUEL, 'ledger_fuel_total_kJ', 'ledger_store_rotor_drag_kJ'];
    const reading = readResult(fileWith(JSON.stringify(rest)), { required, asked: [] });
    expect((await problemsOf(reading)).map(({ path }) => path)).toEqual(required.slice(1));
  });

  it('has the steps of its saving among its figures if it was made with them', async () => {
    const { summary } = explained({ stopStart: { delay: 0 }, recover: { share: 1, minPower: 0 } });
    const { waterfall } = summary;
    const recovery = waterfall.find(({ step }) => step === 'recovery')!;
    const asked = ['waterfall_recovery_pct', 'waterfall_coast_pct'];
    const file = fileWith(JSON.stringify(summary));
    const { rows, figures } = await readResult(file, { required: [], asked });
    expect(rows[0]?.figures.of(asked[0]!)).toBe(recovery.saving_pct);
    expect(rows[0]?.figures.of(asked[1]!)).toBeNaN();
    expect(asked.every((column) => figures.has(column))).toBe(true);
    const without = await readResult(fileWith(JSON.stringify(plainSummary)), COLUMNS);
    expect(without.figures.has('waterfall_recovery_pct')).toBe(false);
  });
});

describe('the folder of a study', () => {
  const records = [
    doneRecord({ cycle: 'udds', varied: { 'store.mass_kg': 60 } }),
    failedRecord({ cycle: 'nycc', varied: { 'store.mass_kg': null } }, 'it broke'),
  ];

  it('is read with names, varied numbers, failures and shares', async () => {
    const result = await read(folderOf(records, { cycle_shares: { udds: 1 } }));
    expect(result).toMatchObject({
      study: 'made-up',
      modelVersion: '1',
      cycleShares: { udds: 1 },
      varied: ['store.mass_kg'],
    });
    expect(result.rows).toMatchObject([
      { names: { car: 'a', cycle: 'udds' }, varied: [60], failure: null },
      { names: { car: 'a', cycle: 'nycc' }, varied: [null], failure: 'it broke' },
    ]);
    expect(result.rows[1]?.figures.of(FUEL)).toBeNaN();
  });

  it('lists every program that wrote in it', async () => {
    const mixed = [records[0]!, { ...doneRecord(), tool: 'spinledger 1.0.0' }];
    const { tools } = await read(folderOf(mixed));
    expect(tools).toEqual(['spinledger 9.9.9', 'spinledger 1.0.0']);
  });

  it('is refused without a manifest, and tells a study that has not ended', async () => {
    const folder = folderOf(records);
    rmSync(join(folder, 'manifest.json'));
    expect(await problemsOf(read(folder))).toMatchObject([{ code: 'no-result' }]);
    writeFileSync(join(folder, 'journal.jsonl'), '');
    expect(await problemsOf(read(folder))).toMatchObject([
      { code: 'not-whole', hint: expect.stringContaining('run the study again') },
    ]);
  });

  it('is refused where it is a shard, or has another number of cases than it says', async () => {
    expect(
      await problemsOf(read(folderOf(records, { shard: { k: 1, n: 2, of_cases: 4 } }))),
    ).toMatchObject([
      {
        code: 'shard',
        found: 'shard 1/2 of a study',
        hint: expect.stringContaining('study --merge'),
      },
    ]);
    expect(await problemsOf(read(folderOf(records, { cases: 3 })))).toMatchObject([
      { code: 'not-whole', found: '2 cases', expected: expect.stringContaining('3') },
    ]);
  });

  it.each([
    ['schema_version', 2],
    ['study', 5],
    ['model_version', null],
    ['cases', 1.5],
    ['cycle_shares', { udds: -1 }],
    ['plan', undefined],
    ['varied', [1]],
    ['outputs', null],
    ['shard', { k: 3, n: 2, of_cases: 4 }],
  ])('is refused where its manifest has a wrong %s', async (key, value) => {
    const problems = await problemsOf(read(folderOf(records, { [key]: value })));
    expect(problems).toMatchObject([{ path: key }]);
  });

  it('is refused where its manifest is no object', async () => {
    const folder = folderOf(records);
    writeFileSync(join(folder, 'manifest.json'), '5');
    const problems = await problemsOf(read(folder));
    expect(problems.map(({ path }) => path)).toContain('schema_version');
  });

  it('names the line of a record that is broken, torn or no record', async () => {
    const folder = folderOf(records);
    const file = join(folder, 'results.jsonl');
    const first = JSON.stringify(records[0]);
    for (const second of ['{"state":"do', '{"state":"failed"}', 'null', '']) {
      writeFileSync(file, `${first}\n${second}\n`);
      const problems = await problemsOf(read(folder));
      expect(problems.length).toBeGreaterThan(0);
      for (const problem of problems) expect(problem).toMatchObject({ file, line: 2 });
    }
    writeFileSync(file, `${first}\n${first.slice(0, 500)}`);
    expect(await problemsOf(read(folder))).toMatchObject([{ code: 'broken-json', line: 2 }]);
  });

  it('is refused where its results are not those that its manifest was written with', async () => {
    const before = doneRecord({ fuel: [5.2, 5, 4] });
    const after = doneRecord({ fuel: [5.2, 5, 4.5] });
    const folder = folderOf([after]);
    expect((await read(folder)).rows[0]?.figures.of(FUEL)).toBe(4.5);
    const file = join(folder, 'results.jsonl');
    const { fuel, saving } = before;
    writeFileSync(file, `${JSON.stringify({ ...after, fuel, saving })}\n`);
    expect(await problemsOf(read(folder))).toMatchObject([
      {
        code: 'changed-results',
        file,
        found: expect.stringContaining('manifest.json'),
        hint: expect.stringContaining('run the study again'),
      },
    ]);
    // Not even the end of the last line may be another.
    writeFileSync(file, JSON.stringify(after));
    expect(await problemsOf(read(folder))).toMatchObject([{ code: 'changed-results' }]);
  });

  it('is refused without its results', async () => {
    const folder = folderOf(records);
    rmSync(join(folder, 'results.jsonl'));
    expect(await problemsOf(read(folder))).toMatchObject([{ code: 'no-file' }]);
  });
});
