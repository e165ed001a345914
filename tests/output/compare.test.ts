import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { compareCsv } from '../../src/output/compare-csv.ts';
import { gatesJunit, missedGateLines } from '../../src/output/compare-gates.ts';
import { compareJson } from '../../src/output/compare-json.ts';
import { compareMarkdown } from '../../src/output/compare-markdown.ts';
import { compareTable } from '../../src/output/compare-table.ts';
import { plainPaint } from '../../src/output/paint.ts';
import { compare } from '../../src/study/comparison.ts';
import type { StudyRecord } from '../../src/study/record.ts';
import { doneRecord, failedRecord, type Made } from '../study/records.ts';
import { gatesOf, lacking, realRecord, resultOf } from '../study/results.ts';
import { expectWithin } from '../within.ts';

async function compared(
  before: readonly StudyRecord[],
  after: readonly StudyRecord[],
  gates?: ReturnType<typeof gatesOf>,
) {
  const options = { gates };
  return compare(await resultOf(before, options), await resultOf(after, options), gates);
}

const tableOf = async (...given: Parameters<typeof compared>) =>
  compareTable(await compared(...given), plainPaint);

/** A case that burns more than another by so many L/100 km, all of it as engine heat. */
function withFuel(made: Made, k: number, more: number): StudyRecord {
  const record = doneRecord({ ...made, fuel: [5 + k, 4.8 + k, 4.5 + k + more] });
  const { fuel } = record.ledger;
  const heat = 1000 * more;
  const moved = {
    burned_kJ: fuel.burned_kJ + heat,
    engine_heat_kJ: fuel.engine_heat_kJ + heat,
    total_kJ: fuel.total_kJ + heat,
  };
  return { ...record, ledger: { ...record.ledger, fuel: { ...fuel, ...moved } } };
}

/** Twenty cases of two cars on five cycles with two masses; some better, some worse. */
function twenty(shift: number): StudyRecord[] {
  return ['estate', 'van'].flatMap((car) =>
    ['wltc-class3b', 'udds', 'nycc', 'us06', 'hwfet'].flatMap((cycle, k) =>
      [60, 80].map((mass) =>
        withFuel({ car, cycle, varied: { 'store.mass_kg': mass } }, k, shift * (k - 2) * 0.05),
      ),
    ),
  );
}

const GATES = gatesOf([
  { name: 'saves', figure: 'saving_vs_stop_start_pct', over: 'mean', at_least: 1 },
  { name: 'burns no more', figure: 'fuel_store_L_per_100km', of: 'change', at_most: 0.01 },
  { name: 'keeps up', figure: 'shortfall_pct_of_tractive', at_most: 0.5 },
]);

describe('the table of a comparison', () => {
  it('adds up in its ledger, and says of what it is a mean', async () => {
    const study = (strategy: 'recover' | 'stop') =>
      [20, 40].flatMap((power) =>
        ['nycc', 'udds'].map((cycle) =>
          realRecord(strategy, cycle, { 'store.power_limit_kW': power }),
        ),
      );
    const text = await tableOf(study('recover'), study('stop'));
    expect(text).toMatch(/^What moved in the ledger, in the mean of all 2/m);
    const ledger = text.slice(text.indexOf('What moved')).split('\n').slice(1, 9);
    const figures = ledger.map((line) => Number(/([-+][\d.]+) +\S+$/.exec(line)?.[1]));
    expect(ledger.at(-1)).toContain('= fuel that counts');
    const sum = figures.slice(0, -1).reduce((total, figure) => total + figure, 0);
    // Eight figures of two decimals each.
    expect(Math.abs(sum - figures.at(-1)!)).toBeLessThanOrEqual(8 * 0.005 + 1e-9);
  });

  it('of a usual study stays within 90 columns and about a screen', async () => {
    const text = await tableOf(twenty(0), twenty(1), GATES);
    const lines = text.split('\n');
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(90);
    expect(lines.length).toBeLessThanOrEqual(60);
    expect(text).toContain('1 of 3 gates of gates does not hold\n');
    expect(text).toContain('20 cases compared: 8 with less fuel, 8 with more, 4 unchanged.');
    expect(text).toMatch(/^More fuel {2,}/m);
    expect(text).toMatch(/^Less fuel$/m);
    expect(text).toMatch(/^Means over cycles {2,}/m);
    expect(text).toMatch(/^ {2}estate · 60 +6\.500 +6\.500 +0\.00 /m);
  });

  it('names the worst and the best cases first, and counts the others', async () => {
    const text = await tableOf(twenty(0), twenty(1));
    const rows = text.split('\n').filter((line) => /^ {2}(estate|van) · \w/.test(line));
    // At 8.5 L/100 km 0.1 more, 1.18 %; at 4.5 L/100 km 0.1 less, 2.22 %
    expect(text).toMatch(/More fuel.*\n.*\n {2}estate · hwfet · 60 +8\.500 +8\.600 +\+1\.18 /);
    expect(text).toMatch(/Less fuel\n {2}estate · wltc-class3b · 60 +4\.500 +4\.400 +-2\.22 /);
    expect(rows.length).toBe(4 + 5 + 5);
    expect(text.match(/… 3 more/g)).toHaveLength(2);
  });

  it('lists what could not be compared, with the reason', async () => {
    const before = [...twenty(0), doneRecord({ cycle: 'lab', varied: { 'store.mass_kg': 60 } })];
    const after = [
      ...twenty(0).slice(1),
      failedRecord(
        { car: 'estate', cycle: 'wltc-class3b', varied: { 'store.mass_kg': 60 } },
        'oh\x07',
      ),
    ];
    const text = await tableOf(before, after);
    expect(text).toContain('Not compared: 1 failed, 1 only before.\n');
    expect(text).toContain('estate · wltc-class3b · mass_kg=60: ');
    expect(text).toContain('ran before; failed after: oh\\u0007\n');
    expect(text).toContain('only before\n');
    expect(text).toContain('(4 of 5 cycles)');
  });

  it('says of equal inputs that they are', async () => {
    const text = await tableOf(twenty(0), twenty(0));
    expect(text.replace(/\s+/g, ' ')).toContain(
      '20 cases compared: 0 with less fuel, 0 with more, 20 unchanged. The inputs are the same before and after.',
    );
  });

  it('leaves out the ledger where nothing moved', async () => {
    expect(await tableOf(twenty(0), twenty(0))).not.toContain('What moved');
    expect(await tableOf(twenty(0), twenty(1))).toContain('What moved');
  });

  it('names a change of what balances the charge, along a slope or not', async () => {
    const record = doneRecord({});
    const { fuel } = record.ledger;
    const moved = {
      ...fuel,
      slope_correction_kJ: fuel.slope_correction_kJ + 1000,
      total_kJ: fuel.total_kJ + 1000,
    };
    const after = { ...record, ledger: { ...record.ledger, fuel: moved } };
    const text = await tableOf([record], [after]);
    const perKm = 1000 / record.cycle.distance_km;
    expect(text).toMatch(new RegExp(`^ {2}charge balance +\\+${perKm.toFixed(2)} `, 'm'));
    expect(text).not.toContain('slope');
  });

  it('of two runs names the case once, with what was changed', async () => {
    const text = await tableOf([realRecord('recover')], [realRecord('stop')], GATES);
    expect(text).toContain('\nplain-car · plain-store · recover → stop · nycc\n');
    expect(text.match(/plain-car/g)).toHaveLength(1);
    expect(text).toMatch(/= fuel that counts/);
    expect(text).not.toContain('Means over cycles');
  });
});

describe('a comparison as Markdown', () => {
  it('has the verdict first, then gates, differences and folded parts', async () => {
    const text = compareMarkdown(await compared(twenty(0), twenty(1), GATES));
    const order = [
      '## 1 of 3 gates of gates does not hold\n',
      '20 cases compared',
      '| **does not hold** | burns no more |',
      '### Means over cycles\n',
      '### More fuel\n',
      '<details><summary>What moved in the ledger',
      '<details><summary>All cases (20)</summary>',
    ].map((part) => text.indexOf(part));
    expect(
      order.every((place) => place >= 0),
      order.join(),
    ).toBe(true);
    expect(order).toEqual(order.toSorted((a, b) => a - b));
    expect(text.match(/<details>/g)?.length).toBe(text.match(/<\/details>/g)?.length);
  });

  it('lets no name break a table, a tag or a line', async () => {
    const car = 'a|b <script>\n# c';
    const cases = (fuel: number) =>
      ['x', 'y'].map((cycle) => doneRecord({ car, cycle, fuel: [5, 4.8, fuel] }));
    const gates = gatesOf([{ name: '</summary>|', figure: 'fuel_store_L_per_100km', below: 0 }]);
    const text = compareMarkdown(
      await compared([...cases(4), doneRecord()], [...cases(4.1), doneRecord()], gates),
    );
    expect(text).not.toMatch(/(?<!\\)<script/);
    expect(text.match(/<\/summary>/g)?.length).toBe(text.match(/<summary>/g)?.length);
    const tables = text.split('\n\n').filter((part) => part.startsWith('|'));
    expect(tables.length).toBeGreaterThan(2);
    for (const table of tables) {
      const cells = table.split('\n').map((line) => line.split(/(?<!\\)\|/).length);
      expect(new Set(cells).size, table).toBe(1);
    }
  });

  it('keeps within a comment, however many cases there are', async () => {
    const many = (fuel: number) =>
      Array.from({ length: 500 }, (_, k) =>
        doneRecord({ cycle: `cycle-${k}`, fuel: [5, 4.8, fuel + k * 1e-3] }),
      );
    const text = compareMarkdown(await compared(many(4), many(4.1), GATES));
    expect(text.length).toBeLessThan(60_000);
    expect(text).toContain('All cases (500)');
    expect(text).toContain('… 400 more');
  });
});

describe('a comparison as CSV', () => {
  it('has a row a compared case, whose changes are after less before', async () => {
    const text = [...compareCsv(await compared(twenty(0), twenty(1)))].join('');
    const rows = parse(text, { columns: true }) as Record<string, string>[];
    expect(rows).toHaveLength(20);
    expect(Object.keys(rows[0]!).slice(0, 5)).toEqual([
      'case_car',
      'case_store',
      'case_strategy',
      'case_cycle',
      'store.mass_kg',
    ]);
    for (const row of rows) {
      const of = (side: string) => Number(row[`${side}_fuel_store_L_per_100km`]);
      expect(of('change')).toBe(of('after') - of('before'));
    }
  });

  it('has the lines of the ledger as they are, so that those of the store balance', async () => {
    const text = [...compareCsv(await compared([realRecord('recover')], [realRecord('stop')]))];
    const [row] = parse(text.join(''), { columns: true }) as Record<string, string>[];
    const of = (line: string) => Number(row![`change_ledger_${line}_kJ_per_km`]);
    const into = of('store_recovered_braking') + of('store_recovered_from_engine');
    const out =
      of('store_assisted') +
      of('store_transmission_loss') +
      of('store_slip_loss') +
      of('store_rotor_drag') +
      of('store_stored_change');
    expect(Math.abs(into)).toBeGreaterThan(1);
    expectWithin(into, out, 1e-6);
    // More starts take more work of the starter, which its column shows as a rise.
    expect(of('fuel_starter_work')).toBeGreaterThan(0);
  });

  it('is written in the dialect that is asked for', async () => {
    const comparison = await compared(twenty(0), twenty(1));
    const text = [...compareCsv(comparison, { delimiter: ';', decimal: ',' })].join('');
    const [header, row] = text.split('\n');
    expect(header).toMatch(/^case_car;case_store;/);
    expect(row).toContain(';4,5;4,4;-0,0');
    expect(row!.split(';')).toHaveLength(header!.split(';').length);
  });

  it('has a header alone where nothing could be compared', async () => {
    const none = await compared([doneRecord({ cycle: 'a' })], [failedRecord({ cycle: 'a' })]);
    expect([...compareCsv(none)].join('').trimEnd().split('\n')).toHaveLength(1);
  });
});

describe('a comparison as JSON', () => {
  it('lists everything: cases, means, gates, and what could not be compared', async () => {
    const before = [...twenty(0), doneRecord({ cycle: 'lab' })];
    const after = [...twenty(1), failedRecord({ cycle: 'road' }, 'no road')];
    const comparison = await compared(before, after, GATES);
    const document = JSON.parse([...compareJson(comparison, 'spinledger 9.9.9')].join(''));
    expect(document).toMatchObject({
      schema_version: 1,
      tool: 'spinledger 9.9.9',
      before: { cases: 21, failed: 0 },
      after: { cases: 21, failed: 1, model_version: '1' },
      cycle_shares: { from: 'equal', shares: null },
      gates: { name: 'gates', hold: false },
      counts: { compared: 20, less_fuel: 8, more_fuel: 8, unchanged: 4, unmatched: 2 },
    });
    expect(document.cases).toHaveLength(20);
    expect(document.means).toHaveLength(4);
    expect(document.unmatched).toMatchObject([
      { side: 'after', case: { cycle: 'road' }, failure: 'no road' },
      { side: 'before', case: { cycle: 'lab' }, failure: null },
    ]);
    expect(document.gates.results[1]).toMatchObject({
      name: 'burns no more',
      holds: false,
      why: null,
      looked_at: 22,
      beyond: 10,
    });
    expect(document.gates.results[1].worst).toHaveLength(10);
    expect(document.gates.results[1].worst[0]).toMatchObject({ value: null, why: /./ });
  });

  it('has parts of the ledger that add up to its fuel', async () => {
    const comparison = await compared([realRecord('recover')], [realRecord('stop')]);
    const { cases, ledger } = JSON.parse([...compareJson(comparison, 'x')].join(''));
    for (const one of [cases[0].ledger, ledger]) {
      const parts = Object.values(one.parts_kJ_per_km) as number[];
      const sum = parts.reduce((total, part) => total + part, 0);
      // The ledger closes to 1e-9 of energies some twenty times as large as their difference.
      expectWithin(sum, one.fuel_kJ_per_km, 1e-7);
    }
  });

  it('is sound without any case', async () => {
    const none = await compared([failedRecord()], [failedRecord()]);
    const document = JSON.parse([...compareJson(none, 'x')].join(''));
    expect(document).toMatchObject({ cases: [], means: [], ledger: null, gates: null });
    expect(document.failed).toMatchObject([{ before: 'it broke', after: 'it broke' }]);
  });
});

describe('names with characters that steer a terminal, a page or a parser', () => {
  it('are spelled the same in every form', async () => {
    const name = 'a\nb\u001b[31m\u2028\u202e\ud800 | <i>&amp;*~c~';
    const spelled = 'a\\u000ab\\u001b[31m\\u2028\\u202e\\ud800 | <i>&amp;*~c~';
    const gates = gatesOf([{ name, figure: 'fuel_store_L_per_100km', at_most: 1 }], { name });
    const comparison = await compared([doneRecord()], [doneRecord()], gates);
    expect(compareTable(comparison, plainPaint)).toContain(`FAILS  ${spelled}\n`);
    expect(missedGateLines(comparison)[0]).toContain(`does not hold: ${spelled}: fuel`);
    const inXml = spelled.replaceAll('&', '&amp;').replace('<', '&lt;').replace('>', '&gt;');
    expect(gatesJunit(comparison)).toContain(`<testcase name="${inXml}" classname="${inXml}"`);
    const markdown = compareMarkdown(comparison);
    const cell = markdown.split('\n').find((line) => line.includes('**does not hold**'));
    expect(cell?.split(/(?<!\\) ?\| ?/)[2]?.replace(/\\([^\w\s])/g, '$1')).toBe(spelled);
    // Nothing of it is left to be taken for a mark of the page.
    expect(cell).toContain('\\<i\\>\\&amp;\\*\\~c\\~');
  });
});

describe('a case without a figure for fuel', () => {
  const fuel = (cycle: string, used: number) => doneRecord({ cycle, fuel: [5, 4.8, used] });
  const before = [fuel('udds', 4.5), fuel('nycc', 4.6)];
  const after = [fuel('udds', 4.4), lacking(fuel('nycc', 4.6), 'fuel', 'store_L_per_100km')];

  it('is told apart, with a dash for what it lacks and NaN nowhere', async () => {
    const comparison = await compared(before, after);
    const table = compareTable(comparison, plainPaint);
    const markdown = compareMarkdown(comparison);
    for (const text of [table, markdown]) {
      expect(text).toContain('1 with less fuel, 0 with more, 0 unchanged, 1 without a figure for');
      expect(text).toContain('No figure for fuel');
      expect(text).not.toContain('NaN');
    }
    expect(table).toMatch(/^ {2}nycc +4\.600 +– +– /m);
    expect(markdown).toContain('| nycc | 4.600 | – | – |');
    const csv = [...compareCsv(comparison)].join('');
    expect(csv).not.toContain('NaN');
    expect(parse(csv, { columns: true })[1]).toMatchObject({
      before_fuel_store_L_per_100km: '4.6',
      after_fuel_store_L_per_100km: '',
      change_fuel_store_L_per_100km: '',
    });
    const { counts } = JSON.parse([...compareJson(comparison, 'x')].join(''));
    expect(counts).toMatchObject({ compared: 2, less_fuel: 1, unchanged: 0, no_figure: 1 });
  });

  it('leaves the ledger open where a line of it is null, and says so first', async () => {
    const { ledger } = after[0]!;
    const broken = {
      ...after[0]!,
      ledger: { ...ledger, wheel: { ...ledger.wheel, rolling_kJ: null as unknown as number } },
    };
    const table = compareTable(await compared([before[0]!], [broken]), plainPaint);
    expect(table).not.toContain('NaN');
    expect(table).toMatch(/What moved in the ledger[^\n]*\n {2}rolling +– +–\n/);
  });
});

describe('messages about gates', () => {
  it('name each gate that does not hold with its condition and the worst five cases', async () => {
    const lines = missedGateLines(await compared(twenty(0), twenty(1), GATES));
    expect(lines).toHaveLength(7);
    expect(lines[0]).toBe(
      'gate does not hold: burns no more: change of fuel_store_L_per_100km at most 0.01',
    );
    expect(lines[1]).toMatch(/^ {2}\w+ · hwfet · mass_kg=\d0: \+0\.1 \(8\.5 before, 8\.6 after\)$/);
    expect(lines[6]).toBe('  and 3 more of 20');
  });

  it('tell in the table and in JUnit XML what was asked and what was found', async () => {
    const gates = gatesOf([
      { name: 'all', figure: 'fuel_store_L_per_100km', at_most: 9 },
      { name: 'most', figure: 'fuel_store_L_per_100km', of: 'change_pct', at_most: 1 },
      { name: 'slip', figure: 'fuel_store_L_per_100km', at_most: 9, cases: { car: 'vna' } },
    ]);
    const fuel = (cycle: string, used: number) => doneRecord({ cycle, fuel: [5, 4.8, used] });
    const comparison = await compared(
      [fuel('udds', 4), fuel('nycc', 4), fuel('us06', 4)],
      [fuel('udds', 4), fuel('nycc', 4.4), fuel('us06', 4.2)],
      gates,
    );
    const table = compareTable(comparison, plainPaint);
    expect(table).toContain(
      'holds  all\n' +
        '       asks  fuel_store_L_per_100km at most 9\n' +
        '       found nycc: 4.4; nearest to the limit of 3 cases\n' +
        'FAILS  most\n' +
        '       asks  change of fuel_store_L_per_100km in % at most 1\n' +
        '       found nycc: +10 % (4 before, 4.4 after); worst of the 2 of 3 cases that do not hold\n',
    );
    expect(table).toContain('       but   no case has car vna');
    const xml = gatesJunit(comparison);
    expect(xml).toContain(
      'message="asks fuel_store_L_per_100km at most 9; but no case has car vna',
    );
    expect(xml).toContain('<system-out>asks fuel_store_L_per_100km at most 9; found nycc: 4.4;');
  });

  it('show all digits of a figure that looks like the limit that it misses', async () => {
    const gates = gatesOf([{ figure: 'fuel_store_L_per_100km', at_most: 4.5 }]);
    const after = [doneRecord({ fuel: [5, 4.8, 4.500000000000001] })];
    expect(missedGateLines(await compared(after, after, gates))).toEqual([
      'gate does not hold: gate 1: fuel_store_L_per_100km at most 4.5',
      '  4.500000000000001',
    ]);
  });

  it('say why a gate cannot hold whatever the figures are', async () => {
    const gates = gatesOf([
      { figure: 'fuel_store_L_per_100km', above: 0, cases: { car: 'nobody' } },
    ]);
    const comparison = await compared(twenty(0), twenty(0), gates);
    expect(missedGateLines(comparison)[1]).toBe('  no case has car nobody');
    expect(gatesJunit(comparison)).toContain('no case has car nobody');
    expect(compareTable(comparison, plainPaint)).toContain('no case has car nobody');
    expect(compareMarkdown(comparison)).toContain('no case has car nobody');
  });

  it('are as many in JUnit XML as there are gates', async () => {
    const xml = gatesJunit(await compared(twenty(0), twenty(1), GATES));
    expect(xml.match(/<testcase /g)).toHaveLength(3);
    expect(xml.match(/<failure /g)).toHaveLength(1);
    expect(xml).toContain('name="burns no more"');
  });
});
