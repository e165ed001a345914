import { describe, expect, it } from 'vitest';
import { readRows } from '../../src/cycle/rows.ts';

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

  it('finds no row in an empty text', () => {
    expect(rowsOf('')).toEqual([]);
    expect(rowsOf('\uFEFF\n\n# only this\n')).toEqual([]);
  });

  it('tells the line at which quotation marks stop matching, after the rows before it', () => {
    const rows: unknown[] = [];
    const broken = readRows('a,b\n1,2\n3,4"5\n6,7\n', (cells) => rows.push(cells));
    expect(broken).toEqual({ line: 3 });
    expect(rows).toEqual([
      ['a', 'b'],
      ['1', '2'],
    ]);
  });
});
