import type { Problem } from '../config/problem.ts';
import {
  nearUnit,
  QUANTITIES,
  type Quantity,
  type Unit,
  unitsOf,
  usualHeader,
  usualHeaders,
} from './column-names.ts';
import type { PlacedColumn } from './columns.ts';
import { DELIMITER_WORDS, type Delimiter, delimiterFlag } from './dialect.ts';

/** Quantities of a cycle in its strict form. */
export const CYCLE_QUANTITIES: readonly Quantity[] = ['time', 'speed', 'grade', 'altitude'];

const FORM =
  'a header row such as `time_s,speed_kmh`, comma-separated cells and numbers with a decimal point';

export function wrongDelimiter(row: string, likely: Delimiter, given: Delimiter): Problem {
  const decimal = likely === ',' ? '' : ', with `--decimal ,` as well if it has decimal commas';
  return {
    code: 'wrong-delimiter',
    found: row,
    expected: `a header row whose cells are separated by ${DELIMITER_WORDS[given]}`,
    hint: `this file separates its cells by ${DELIMITER_WORDS[likely]}: read it with \`${delimiterFlag(likely)}\`${decimal}`,
  };
}

export function missingHeader(row: string): Problem {
  return {
    code: 'missing-header',
    found: row,
    expected: FORM,
    hint: 'the first row holds numbers: put the names of the columns above it',
  };
}

export function missingUnit(header: string, quantity: Quantity, mapped: boolean): Problem {
  return {
    code: 'missing-unit',
    path: header,
    found: header,
    expected: `the unit of ${quantity} in the header or in a row of units below it`,
    hint: mapped
      ? `add the unit behind a colon, as in ${withUnit(header, quantity)}`
      : `name the unit: ${usualHeaders([quantity])}; or say it as in ${withUnit(header, quantity)}`,
  };
}

export function missingTimeUnit(header: string, found: string, mapped: boolean): Problem {
  return {
    code: 'missing-unit',
    path: header,
    found,
    expected: 'a date with time and zone, or h:mm:ss, because the column names no unit',
    hint: mapped
      ? `add the unit behind a colon, as in ${withUnit(header, 'time')}`
      : `name the unit of the numbers: ${usualHeaders(['time'])}; or say it as in ${withUnit(header, 'time')}`,
  };
}

/** The option that gives a column the unit its file does not name. */
function withUnit(header: string, quantity: Quantity): string {
  return `\`--columns ${quantity}='${header}:${unitsOf(quantity)[0]!.ending}'\``;
}

export function unknownUnit(header: string, unitText: string, quantity: Quantity): Problem {
  const near = nearUnit(quantity, unitText);
  return {
    code: 'unknown-unit',
    path: header,
    found: unitText,
    expected: `a unit of ${quantity}, as in ${usualHeaders([quantity])}`,
    ...(near === undefined
      ? {}
      : { hint: `did you mean \`${usualHeader(quantity, near)}\` (in ${near.words})?` }),
  };
}

export function misspelt(
  header: string,
  { quantity, unit }: { readonly quantity: Quantity; readonly unit: Unit | undefined },
  strict: boolean,
): Problem {
  const meant =
    unit === undefined
      ? `\`${quantity}\` with its unit, as in ${usualHeaders([quantity])}`
      : `\`${usualHeader(quantity, unit)}\` (in ${unit.words})`;
  const otherwise = strict ? '' : ' If not, say with `--columns` which columns to read';
  return {
    code: 'unknown-column',
    path: header,
    found: header,
    expected: `one of ${usualHeaders(strict ? CYCLE_QUANTITIES : QUANTITIES)}`,
    hint: `did you mean ${meant}?${otherwise}`,
  };
}

export function notOfACycle(header: string, index: number): Problem {
  return {
    code: 'unknown-column',
    path: header === '' ? `column ${index + 1}` : header,
    found: header,
    expected: `one of ${usualHeaders(CYCLE_QUANTITIES)}`,
    hint: 'leave out the columns that are no part of a cycle',
  };
}

export function secondColumn(
  header: string,
  quantity: Quantity,
  rival: PlacedColumn,
  strict: boolean,
): Problem {
  const same = header === rival.header;
  const both =
    quantity === rival.quantity ? `one column of ${quantity}` : 'grade or altitude, not both';
  return {
    code: same ? 'duplicate-column' : 'conflicting-columns',
    path: header,
    found: header,
    expected: same ? `\`${header}\` once` : `${both}, and \`${rival.header}\` is there already`,
    hint:
      strict || same
        ? 'leave one of the two columns out'
        : `say which one to read, as in \`--columns ${quantity}='${rival.header}'\``,
  };
}
