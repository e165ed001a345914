import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { type BrokenTable, RowReader } from '../../src/cycle/rows.ts';
import { encode } from '../../src/cycle/utf8.ts';
import { oneOf, seeded } from '../seeded.ts';

/** The rows of a comma-separated text, as the row reader finds them in one piece. */
function readRows(
  text: string,
  take: (cells: readonly string[], line: number) => void,
): BrokenTable | undefined {
  const reader = new RowReader(',', (row) => take(row.cells(), row.line));
  reader.push(encode(text));
  reader.end();
  return reader.broken;
}

function rowsOf(text: string): [number, ...string[]][] {
  const rows: [number, ...string[]][] = [];
  const broken = readRows(text, (cells, line) => rows.push([line, ...cells]));
  expect(broken).toBeUndefined();
  return rows;
}

const TABLE = [
  [3, 'a', 'b'],
  [5, '1', '2'],
  [6, '3', ''],
  [8, '4', ' 5'],
];

describe('readRows', () => {
  const lines = ['# note, one', '', 'a,b', '#x', '1,2', '3,', '   ', '4, 5', ''];

  it.each([
    ['LF', '\n'],
    ['CRLF', '\r\n'],
    ['CR', '\r'],
  ])('passes over comments and empty lines and counts every line, with %s', (_name, end) => {
    expect(rowsOf(lines.join(end))).toEqual(TABLE);
    expect(rowsOf(`\uFEFF${lines.join(end)}`)).toEqual(TABLE);
  });

  it.each([
    ['LF', '\n'],
    ['CRLF', '\r\n'],
  ])('reads the same rows where cells stand in quotation marks, with %s', (_name, end) => {
    const quoted = ['# note, one', '', '"a","b"', '#x', '"1",2', '3,', '   ', '4, 5', ''];
    expect(rowsOf(quoted.join(end))).toEqual(TABLE);
    expect(rowsOf(`\uFEFF${quoted.join(end)}`)).toEqual(TABLE);
  });

  it('does not mind a quotation mark in a comment', () => {
    expect(rowsOf('# 17" wheels\na,b\n')).toEqual([[2, 'a', 'b']]);
  });

  it('keeps a comma inside quotation marks in its cell', () => {
    expect(rowsOf('a,b\n1,"2,5"\n')).toEqual([
      [1, 'a', 'b'],
      [2, '1', '2,5'],
    ]);
  });

  it('takes a # within a row for part of its cell', () => {
    expect(rowsOf('a,b\n1,2 # fast\n')).toEqual([
      [1, 'a', 'b'],
      [2, '1', '2 # fast'],
    ]);
    expect(rowsOf('"a",b\n1,2 # fast\n')).toEqual([
      [1, 'a', 'b'],
      [2, '1', '2 # fast'],
    ]);
  });

  it('keeps line ends and doubled quotation marks inside quotation marks, and counts the lines', () => {
    expect(rowsOf('a,b\n"1\r\n1","say ""a"""\n\n2,"x\ry"\n3,4')).toEqual([
      [1, 'a', 'b'],
      [2, '1\r\n1', 'say "a"'],
      [5, '2', 'x\ry'],
      [7, '3', '4'],
    ]);
  });

  it('lets blanks stand around quotation marks', () => {
    expect(rowsOf(' "a" ,\t"b"\n"1" , 2\n')).toEqual([
      [1, 'a', 'b'],
      [2, '1', ' 2'],
    ]);
  });

  it('finds no row in an empty text', () => {
    expect(rowsOf('')).toEqual([]);
    expect(rowsOf('\uFEFF\n\n# only this\n')).toEqual([]);
  });

  it('tells the line at which quotation marks stop matching, after the rows before it', () => {
    const rows: unknown[] = [];
    const broken = readRows('a,b\n1,2\n3,4"5\n6,7\n', (cells) => rows.push(cells));
    expect(broken).toMatchObject({ line: 3, problem: { code: 'broken-quotes' } });
    expect(rows).toEqual([
      ['a', 'b'],
      ['1', '2'],
    ]);
  });
});

const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text);

/** The rows of some pieces of a file, and where it broke. */
function piecewise(
  pieces: readonly Uint8Array[],
  delimiter = ',',
): { rows: [number, ...string[]][]; broken: BrokenTable | undefined; lines: number[] } {
  const rows: [number, ...string[]][] = [];
  const reader = new RowReader(delimiter, (row) => rows.push([row.line, ...row.cells()]));
  for (const piece of pieces) reader.push(piece);
  reader.end();
  return { rows, broken: reader.broken, lines: [reader.comments, reader.blanks] };
}

describe('RowReader', () => {
  /** What tables are made of, and what breaks them. */
  const PARTS = ['1', '2.5', 'é', '😀', ',', ';', '"', '""', '"a"', '"b\nc"', '#', ' ', '\t', '\n'];

  it('finds the same whatever the pieces: cut at every byte, in two, and not at all', () => {
    const random = seeded(11);
    let broken = 0;
    for (let trial = 0; trial < 3000; trial++) {
      let text = oneOf(random, ['', '\uFEFF', '# é\r\n']);
      for (let part = 0; part < 30 * random(); part++) {
        text += oneOf(random, [...PARTS, '\r\n', '\r', ...(random() < 0.05 ? ['\0'] : [])]);
      }
      const bytes = bytesOf(text);
      const whole = piecewise([bytes]);
      const cut = Math.floor(bytes.length * random());
      const singles = Array.from(bytes, (byte) => Uint8Array.of(byte));
      expect(piecewise([bytes.subarray(0, cut), bytes.subarray(cut)])).toEqual(whole);
      expect(piecewise(singles)).toEqual(whole);
      if (whole.broken !== undefined) broken++;
    }
    expect(broken).toBeGreaterThan(300);
    expect(broken).toBeLessThan(2700);
  });

  it('agrees with a general parser on tables of well-formed cells', () => {
    const random = seeded(12);
    const cells = ['', '1', ' 2', 'é', 'a b', '"x"', '"a,b;c"', '"say ""a"""', '"b\r\nc\n"', '""'];
    for (let trial = 0; trial < 1000; trial++) {
      const delimiter = oneOf(random, [',', ';', '\t']);
      const end = oneOf(random, ['\n', '\r\n', '\r']);
      const rows = Array.from({ length: 1 + Math.floor(6 * random()) }, () =>
        Array.from({ length: 1 + Math.floor(4 * random()) }, () => oneOf(random, cells)),
      ).filter((row) => row.join('') !== '');
      const text = rows.map((row) => row.join(delimiter)).join(end);
      const expected: string[][] = parse(text, {
        delimiter,
        record_delimiter: [end],
        relax_column_count: true,
        skip_empty_lines: true,
      });
      const found = piecewise([bytesOf(text)], delimiter).rows.map(([, ...texts]) => texts);
      // A row that is one cell of nothing, in quotation marks or not, is an empty line here.
      expect(found).toEqual(expected.filter((row) => row.length > 1 || row[0]!.trim() !== ''));
    }
  });

  it('refuses bytes that are no text, and says so of UTF-16', () => {
    expect(piecewise([bytesOf('a,b\n1,2\n3,\0')]).broken).toMatchObject({
      line: 3,
      problem: { code: 'not-text', found: 'bytes that are no text' },
    });
    expect(piecewise([Uint8Array.of(0xff, 0xfe, 0x61, 0, 0x0a, 0)]).broken).toMatchObject({
      line: 1,
      problem: { code: 'not-text', found: 'text in UTF-16' },
    });
  });

  const MIB = 1 << 20;

  it.each([
    ['a row', `a,b\n1,2\n${'1'.repeat(MIB + 1)}\n3,4\n`],
    ['a row without an end', `a,b\n1,2\n${'1,'.repeat(MIB)}`],
    ['a comment', `a,b\n1,2\n#${'1'.repeat(MIB + 1)}\n3,4\n`],
    ['a cell that never closes', `a,b\n1,2\n"${'1\n'.repeat(MIB)}`],
  ])('refuses %s of more than 1 MiB, whatever the pieces', (_name, text) => {
    const bytes = bytesOf(text);
    const whole = piecewise([bytes]);
    expect(whole.rows).toHaveLength(2);
    expect(whole.broken).toMatchObject({ line: 3, problem: { code: 'row-too-long' } });
    for (const size of [1000, 65_536]) {
      const count = Math.ceil(bytes.length / size);
      const pieces = Array.from({ length: count }, (_, k) =>
        bytes.subarray(k * size, (k + 1) * size),
      );
      expect(piecewise(pieces)).toEqual(whole);
    }
  });

  it('takes a row of just 1 MiB, whatever the pieces and the line end', () => {
    for (const end of ['\n', '\r\n', '\r', '']) {
      const bytes = bytesOf(`a\n${'1'.repeat(MIB)}${end}`);
      expect(piecewise([bytes]).rows).toHaveLength(2);
      expect(piecewise([bytes.subarray(0, MIB + 2), bytes.subarray(MIB + 2)]).rows).toHaveLength(2);
      expect(
        piecewise([bytes.subarray(0, MIB + 3), bytes.subarray(MIB + 3)]).broken,
      ).toBeUndefined();
    }
  });

  it('needs no more memory for a file without line ends than for its longest row', () => {
    const reader = new RowReader(',', () => undefined);
    const piece = bytesOf('1,'.repeat(50_000));
    let pieces = 0;
    while (reader.broken === undefined && pieces < 100) {
      reader.push(piece);
      pieces++;
    }
    // 1 MiB is full after eleven pieces of 100 000 bytes.
    expect(pieces).toBe(11);
  });
});
