import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { DefectError } from '../../src/config/problem.ts';
import type { CsvDialect } from '../../src/output/csv-dialect.ts';
import { studyColumns } from '../../src/output/study-columns.ts';
import { StudyCsv, type StudyCsvOptions } from '../../src/output/study-csv.ts';
import type { StudyRecord } from '../../src/study/record.ts';
import { flatSummary } from '../../src/summary/flat.ts';
import { oneOf, seeded } from '../seeded.ts';
import { doneRecord, failedRecord } from '../study/records.ts';
import { plainSummary } from './plain-case.ts';

const PATH = 'store.power_limit_kW';
const SHAPE = { varied: [PATH], explain: false, bound: false };

function written(
  records: readonly StudyRecord[],
  options?: StudyCsvOptions,
  shape = SHAPE,
): string {
  const table = new StudyCsv(shape, options);
  return table.header + records.map((record) => table.row(record)).join('');
}

function rowsOf(text: string, { delimiter }: Pick<CsvDialect, 'delimiter'> = { delimiter: ',' }) {
  return parse(text, { delimiter, columns: true }) as Record<string, string>[];
}

function cell(row: Readonly<Record<string, string>> | undefined, column: string) {
  return row?.[column];
}

describe('the table of a study', () => {
  it('is its header alone where no case is finished', () => {
    expect(written([])).toBe(`${studyColumns(SHAPE).join(',')}\n`);
  });

  it('holds the figures of a case under their columns', () => {
    const record = doneRecord({ car: 'van', cycle: '2*nycc', varied: { [PATH]: 0.1 + 0.2 } });
    const [row, ...more] = rowsOf(written([record]));
    expect(more).toEqual([]);
    const { state: _, varied: __, ...summary } = record;
    for (const [column, value] of Object.entries(flatSummary(summary))) {
      expect(row?.[column], column).toBe(value === null ? '' : String(value));
    }
    expect(row).toMatchObject({ state: 'done', error: '', case_car: 'van', case_cycle: '2*nycc' });
    expect(Number(row?.[PATH])).toBe(0.1 + 0.2);
  });

  it('has a row for a failed case, with why it failed and no figure', () => {
    const failed = failedRecord(
      { car: 'van', varied: { [PATH]: null } },
      'no, "this"\nfails',
      'input',
    );
    const [row] = rowsOf(written([failed]));
    const { tool, case_hash, ...others } = row ?? {};
    expect(tool).toBe(failed.tool);
    expect(case_hash).toBe(failed.case.hash);
    const filled = Object.entries(others).filter(([, cell]) => cell !== '');
    expect(Object.fromEntries(filled)).toEqual({
      case_car: 'van',
      case_store: 'b',
      case_strategy: 'c',
      case_cycle: 'd',
      state: 'failed',
      error: 'input: no, "this"\nfails',
    });
  });

  it('lets no message begin as a formula would', () => {
    const [row] = rowsOf(written([failedRecord({}, '=HYPERLINK("x")')]));
    expect(cell(row, 'error')).toBe('defect: =HYPERLINK("x")');
  });

  it('has the same columns whether its first case failed or not', () => {
    const header = (records: StudyRecord[]) => written(records).split('\n')[0];
    expect(header([failedRecord(), doneRecord()])).toBe(header([doneRecord(), failedRecord()]));
  });

  it('takes only columns that are asked for, in their order', () => {
    const columns = ['fuel_store_L_per_100km', PATH, 'case_car'];
    const record = doneRecord({ car: 'van', varied: { [PATH]: 30 }, fuel: [5, 4.8, 4.5] });
    const dialect = { delimiter: ';', decimal: ',' } as const;
    expect(written([record], { columns, dialect })).toBe(
      `fuel_store_L_per_100km;${PATH};case_car\n4,5;30;van\n`,
    );
  });

  it('has the steps of a saving where they are asked for', () => {
    const { balance } = plainSummary.saving;
    const partial = { fuel_L_per_100km: 4.5, balance, shortfall: plainSummary.shortfall };
    const step = { step: 'recovery', saving_L_per_100km: 0.25, saving_pct: 5 } as const;
    const without = { ...partial, lost_pct: 7.5 };
    const record = { ...doneRecord(), waterfall: [{ ...step, ...partial, without }] };
    const text = written([record, failedRecord(), doneRecord()], {}, { ...SHAPE, explain: true });
    const [explained, ...others] = rowsOf(text);
    expect(explained).toMatchObject({
      waterfall_recovery_L_per_100km: '0.25',
      waterfall_recovery_pct: '5',
      waterfall_recovery_lost_without_pct: '7.5',
    });
    for (const row of others) expect(cell(row, 'waterfall_recovery_pct')).toBe('');
    expect(Object.keys(rowsOf(written([record]))[0]!)).toEqual(studyColumns(SHAPE));
  });

  it('refuses a figure that is no number', () => {
    const broken = doneRecord({ fuel: [5, 4, Number.NaN] });
    expect(() => written([broken])).toThrow(DefectError);
  });

  it.each([
    { delimiter: ',', decimal: '.' },
    { delimiter: ';', decimal: ',' },
    { delimiter: '\t', decimal: ',' },
  ] as const)('reads back from %j whatever things are called', (dialect) => {
    const random = seeded(7);
    const signs = ['a', '"', ';', ',', '\t', '\n', '\r', '=', '-', ' ', 'ß', '…'];
    const name = () =>
      Array.from({ length: 1 + Math.floor(6 * random()) }, () => oneOf(random, signs)).join('');
    const records = Array.from({ length: 300 }, (): StudyRecord => {
      const made = {
        ...{ car: name(), store: name(), strategy: name(), cycle: name() },
        varied: { [PATH]: random() < 0.2 ? null : 1e3 * random() },
        fuel: [5 * random(), 5 * random(), 5 * random()] as const,
      };
      return random() < 0.3 ? failedRecord(made, name()) : doneRecord(made);
    });
    const rows = rowsOf(written(records, { dialect }), dialect);
    expect(rows).toHaveLength(records.length);
    const number = (text: string | undefined) =>
      text === '' ? null : Number(text?.replace(dialect.decimal, '.'));
    rows.forEach((row, k) => {
      const record = records[k]!;
      const { car, store, strategy, cycle } = record.case;
      expect([cell(row, 'case_car'), cell(row, 'case_store')]).toEqual([car, store]);
      expect([cell(row, 'case_strategy'), cell(row, 'case_cycle')]).toEqual([strategy, cycle]);
      expect(number(row[PATH])).toBe(record.varied[PATH]);
      if (record.state === 'failed') {
        expect(cell(row, 'error')).toBe(`defect: ${record.error.message}`);
        return;
      }
      expect(number(cell(row, 'fuel_store_L_per_100km'))).toBe(record.fuel.store_L_per_100km);
      expect(number(cell(row, 'saving_vs_baseline_pct'))).toBe(record.saving.vs_baseline_pct);
    });
  });
});
