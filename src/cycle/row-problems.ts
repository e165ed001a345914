import { parseNumber } from '../config/number.ts';
import type { Problem } from '../config/problem.ts';
import type { PlacedColumn } from './columns.ts';
import { DELIMITER_WORDS, type Delimiter, type Dialect, delimiterFlag } from './dialect.ts';
import type { Row } from './row.ts';

// What can be wrong with a row below the header. The file and the line are added where they are known.

/** A row has too many cells or too few. */
export function cellCount(row: Row, width: number, { delimiter }: Dialect): Problem {
  return {
    code: 'cell-count',
    found: countOf(row.count, 'cell'),
    expected: `${countOf(width, 'cell')}, as the header has`,
    hint: row.count > width ? tooMany(delimiter) : tooFew(row, delimiter),
  };
}

function tooMany(delimiter: Delimiter): string {
  return delimiter === ','
    ? 'a decimal comma splits a number into two cells: write a decimal point'
    : `a cell with ${DELIMITER_WORDS[delimiter]} in it has to stand in quotation marks`;
}

function tooFew(row: Row, delimiter: Delimiter): string {
  const text = row.cells().join(' ');
  const others: readonly Delimiter[] = [';', '\t'];
  const other = others.find((candidate) => candidate !== delimiter && text.includes(candidate));
  const separated = `cells are separated by ${DELIMITER_WORDS[delimiter]}`;
  return other === undefined
    ? `${separated}; is the end of the row missing?`
    : `${separated}, not by ${DELIMITER_WORDS[other]}: for those read the file with \`${delimiterFlag(other)}\``;
}

/** A cell has something in it that is no number in this dialect. */
export function notANumber(header: string, found: string, dialect: Dialect): Problem {
  const { decimal, delimiter } = dialect;
  const form = decimal === '.' ? 'point, such as 12.5' : 'comma, such as 12,5';
  const problem = {
    code: 'not-a-number',
    path: header,
    found,
    expected: `a number with a decimal ${form}`,
  };
  const other = decimal === '.' ? found.replace(',', '.') : found;
  if (parseNumber(other) === undefined || (decimal === '.' && !found.includes(','))) return problem;
  const hint =
    delimiter === ','
      ? 'decimal commas go with other delimiters only: save the file with semicolons or with decimal points'
      : `read the file with \`--decimal ${decimal === '.' ? ',' : '.'}\``;
  return { ...problem, hint };
}

/** A cell is no number, in a column of times that are. */
export function notANumberOfTime(header: string, found: string, dialect: Dialect): Problem {
  const problem = notANumber(header, found, dialect);
  if (!/^\d+[-:]\d/.test(found)) return problem;
  const hint =
    'the header names a unit, so that numbers are expected: call a column of dates `timestamp`, without a unit';
  return { ...problem, hint };
}

/** A cell is no time of day or elapsed time, in a column of these. */
export function notAClockTime(header: string, found: string): Problem {
  return {
    code: 'not-a-time',
    path: header,
    found,
    expected: 'a time such as 8:05:00.2, as in the first row',
  };
}

/**
 * A cell is no date with time and zone, in a column of these.
 * @param isBare whether only the zone is missing
 */
export function notADateTime(header: string, found: string, isBare: boolean): Problem {
  return {
    code: isBare ? 'no-zone' : 'not-a-time',
    path: header,
    found,
    expected:
      'a date with time and zone, such as 2024-05-01T08:00:00.2Z or 2024-05-01 10:00:00+02:00',
    hint: isBare
      ? 'without a zone nobody can tell a change to summer time from a gap: add the zone, Z if it is UTC'
      : 'dates are read in the form of ISO 8601',
  };
}

/** A part of a position lies beyond the poles, or more than once around the earth. */
export function outOfRange(column: PlacedColumn, found: string, limit: number): Problem {
  return {
    code: 'out-of-range',
    path: column.header,
    found,
    expected: `a ${column.quantity} between -${limit} and ${limit} degrees`,
    hint: 'degrees with decimals are read; degrees and minutes, as receivers write them, have to be converted',
  };
}

/** `1 row`, `2 rows`. */
export function countOf(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}
