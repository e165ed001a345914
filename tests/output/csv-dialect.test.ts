import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { parseNumber } from '../../src/config/number.ts';
import { DefectError, InputError } from '../../src/config/problem.ts';
import type { Delimiter } from '../../src/cycle/dialect.ts';
import { csvCell } from '../../src/output/csv-cell.ts';
import { type CsvDialect, csvDialect } from '../../src/output/csv-dialect.ts';
import { formulaNotice } from '../../src/output/formula-names.ts';
import { writeLog } from '../../src/output/log-csv.ts';
import { recordsCsv } from '../../src/output/records-csv.ts';
import { namesIn } from '../../src/output/study-report.ts';
import { Ranker } from '../../src/study/rank.ts';
import type { Cell } from '../../src/summary/flat.ts';
import { oneOf, seeded } from '../seeded.ts';
import { doneRecord } from '../study/records.ts';
import { plainCase, plainResult } from './plain-case.ts';

const DIALECTS: readonly CsvDialect[] = [
  { delimiter: ',', decimal: '.' },
  { delimiter: ';', decimal: '.' },
  { delimiter: ';', decimal: ',' },
  { delimiter: '\t', decimal: '.' },
  { delimiter: '\t', decimal: ',' },
];

/** Names that would fall apart if they were not quoted, or be taken for something else. */
const HOSTILE = [
  'plain',
  'a,b',
  'a;b',
  'a\tb',
  'say "so"',
  '"',
  'two\nlines',
  'two\r\nlines',
  'a\rb',
  '=1+1',
  '-5',
  '+2,5',
  '@here',
  ' blanks ',
  'Größe',
  '',
] as const;

/** Any double there is, so that every form of number that is printed comes up. */
function anyDouble(random: () => number): number {
  const bytes = new DataView(new ArrayBuffer(8));
  for (;;) {
    bytes.setUint32(0, random() * 2 ** 32);
    bytes.setUint32(4, random() * 2 ** 32);
    const value = bytes.getFloat64(0);
    if (Number.isFinite(value)) return value;
  }
}

/** A cell as a reader of that dialect takes it for a number. */
function numberIn(text: string | undefined, { decimal }: CsvDialect): number | undefined {
  return parseNumber((text ?? '').replace(decimal, '.'));
}

function cell<T>(row: Readonly<Record<string, T>>, column: string): T | undefined {
  return row[column];
}

describe('the dialect of CSV that is written', () => {
  it('is RFC 4180 with a decimal point if nothing is said', () => {
    expect(csvDialect({})).toEqual({ delimiter: ',', decimal: '.' });
  });

  it.each([
    [{ delimiter: ';' }, { delimiter: ';', decimal: '.' }],
    [
      { delimiter: '\t', decimal: ',' },
      { delimiter: '\t', decimal: ',' },
    ],
    [{ decimal: '.' }, { delimiter: ',', decimal: '.' }],
    [{ decimal: ',' }, { delimiter: ';', decimal: ',' }],
  ] as const)('of %j is %j', (wishes, dialect) => {
    expect(csvDialect(wishes)).toEqual(dialect);
  });

  it('cannot have commas both between cells and in numbers', () => {
    const flags = { delimiter: '--out-delimiter', decimal: '--out-decimal' };
    const ask = () => csvDialect({ delimiter: ',', decimal: ',' }, flags);
    expect(ask).toThrow(InputError);
    try {
      ask();
    } catch (error) {
      const [problem] = (error as InputError).problems;
      expect(problem?.path).toBe('--out-decimal');
      expect(problem?.hint).toContain("`--out-delimiter ';'`");
    }
  });
});

describe('a cell of a dialect', () => {
  const semicolons = { delimiter: ';', decimal: ',' } as const;

  it.each([
    [1.5, '1,5'],
    [-2.5e-7, '-2,5e-7'],
    [1e21, '1e+21'],
    [12, '12'],
    [-0, '0'],
    [null, ''],
    [true, '1'],
    [false, '0'],
    ['1,5', '1,5'],
    ['a;b', '"a;b"'],
    ['a"b', '"a""b"'],
    ['=1+1', '=1+1'],
  ])('of %j is %s with semicolons and decimal commas', (value, text) => {
    expect(csvCell(value, semicolons)).toBe(text);
  });

  it('is quoted for the delimiter of its own table alone', () => {
    const quoted = (delimiter: Delimiter) =>
      [',', ';', '\t'].filter((sign) =>
        csvCell(`a${sign}b`, { delimiter, decimal: '.' }).startsWith('"'),
      );
    expect(([',', ';', '\t'] as const).map(quoted)).toEqual([[','], [';'], ['\t']]);
  });

  it('cannot be a number that is none', () => {
    expect(() => csvCell(Number.NaN, semicolons)).toThrow(DefectError);
  });
});

describe('a table of records', () => {
  it.each(DIALECTS)('reads back cell by cell with %j', (dialect) => {
    const random = seeded(20);
    const records = Array.from(
      { length: 200 },
      (): Record<string, Cell> => ({
        'name, first': oneOf(random, HOSTILE),
        x_kJ: anyDouble(random),
        y_pct: random(),
        none: null,
        last: oneOf(random, HOSTILE),
      }),
    );
    const rows = parse(recordsCsv(records, dialect), {
      delimiter: dialect.delimiter,
      columns: true,
    }) as Record<string, string>[];
    expect(rows).toHaveLength(records.length);
    rows.forEach((row, k) => {
      const record = records[k]!;
      expect(row['name, first']).toBe(record['name, first']);
      expect(cell(row, 'last')).toBe(cell(record, 'last'));
      expect(cell(row, 'none')).toBe('');
      expect(numberIn(cell(row, 'x_kJ'), dialect)).toBe(cell(record, 'x_kJ'));
      expect(numberIn(cell(row, 'y_pct'), dialect)).toBe(cell(record, 'y_pct'));
    });
  });

  it.each(DIALECTS)(
    'has the same cells whether written at once or cell by cell, with %j',
    (dialect) => {
      const record = Object.fromEntries(HOSTILE.slice(0, -1).map((name, k) => [`c${k}`, name]));
      const [, ...lines] = recordsCsv([record], dialect).split(/^c0.*\n/);
      const cells = Object.values(record).map((value) => csvCell(value, dialect));
      expect(lines.join('')).toBe(`${cells.join(dialect.delimiter)}\n`);
    },
  );

  it('tells no from not known', () => {
    expect(recordsCsv([{ yes: true, no: false, unknown: null }])).toBe('yes,no,unknown\n1,0,\n');
  });
});

describe('a log in another dialect', () => {
  it('has the same numbers and names', () => {
    const written = (dialect?: CsvDialect) => {
      let text = '';
      writeLog(plainCase, plainResult, (piece) => (text += piece), 10, dialect);
      return parse(text, { delimiter: dialect?.delimiter ?? ',' }) as string[][];
    };
    const plain = written();
    const spreadsheet = written({ delimiter: ';', decimal: ',' });
    expect(plain.length).toBeGreaterThan(100);
    expect(spreadsheet.map((row) => row.map((text) => text.replace(',', '.')))).toEqual(plain);
    expect(spreadsheet.flat().some((text) => /^\d+,\d+$/.test(text))).toBe(true);
  });
});

describe('names that a spreadsheet would compute', () => {
  it.each(['=1+1', '+a', '-5', '@x', '\tx', '\rx'])('are told of: %j', (name) => {
    expect(formulaNotice(['estate', name])).toMatch(/^The name \S+ begins as a formula does/);
  });

  it('are counted, each once', () => {
    expect(formulaNotice(['=a', '=b', '=a'])).toMatch(/^The name =a and 1 more begins/);
  });

  it('are not those with such signs within', () => {
    expect(formulaNotice(['2*nycc', 'rim-45', 'a=b', '', 'nycc + udds'])).toBeUndefined();
  });
});

describe('names and hashes that a spreadsheet would take for numbers', () => {
  it.each(['1234567890123456', '16317765353548e9', '1E5', '007'])('are told of: %s', (text) => {
    expect(formulaNotice(['estate', text])).toBe(
      `${text} in the table can be taken for a number, so a spreadsheet may spoil it: have columns of names and hashes read as text.`,
    );
  });

  it('are counted, and told of beside names that would be computed', () => {
    expect(formulaNotice(['=a', '1e5', '2e5'])).toMatch(
      /^The name =a begins .*\n1e5 and 1 more in the table can be taken/,
    );
  });

  it('are not those that stay as they are', () => {
    expect(formulaNotice(['45', '1.5', '163177653535a8e9', 'e5', '5e', '12'])).toBeUndefined();
  });

  it('are among those of a study', () => {
    const ranker = new Ranker({ varied: [], cycleShares: null, tolerance: 1 });
    for (const hash of ['16317765353548e9', '16317765353548a9']) {
      const record = doneRecord();
      ranker.add({ ...record, case: { ...record.case, hash } });
    }
    const names = namesIn(ranker.ranking());
    expect(names).toContain('16317765353548e9');
    expect(names).not.toContain('16317765353548a9');
  });
});
