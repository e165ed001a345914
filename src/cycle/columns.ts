import { parseNumber } from '../config/number.ts';
import type { Problem } from '../config/problem.ts';
import { suggest } from '../config/suggest.ts';
import { PERCENT, SPEED_UNITS } from '../config/units.ts';
import type { Quantity } from './check.ts';

/** One column of a cycle file. */
export interface Column {
  readonly header: string;
  readonly quantity: Quantity;
  /** SI per unit of the column. */
  readonly factor: number;
  /** The unit in words. */
  readonly unit: string;
}

/** Every column that a cycle file may have. */
const COLUMNS: readonly Column[] = [
  { header: 'time_s', quantity: 'time', factor: 1, unit: 'seconds' },
  { header: 'speed_kmh', quantity: 'speed', factor: SPEED_UNITS.kmh, unit: 'km/h' },
  { header: 'speed_mph', quantity: 'speed', factor: SPEED_UNITS.mph, unit: 'miles per hour' },
  { header: 'speed_m_per_s', quantity: 'speed', factor: SPEED_UNITS.m_per_s, unit: 'm/s' },
  { header: 'speed_mps', quantity: 'speed', factor: SPEED_UNITS.mps, unit: 'm/s' },
  {
    header: 'grade_pct',
    quantity: 'grade',
    factor: PERCENT,
    unit: '% of the horizontal distance',
  },
  { header: 'altitude_m', quantity: 'altitude', factor: 1, unit: 'metres above the sea' },
];

const FORM =
  'a header row such as `time_s,speed_kmh`, comma-separated cells and numbers with a decimal point';

/** A column of a file: what it holds, and which cell of a row it is. */
export interface PlacedColumn extends Column {
  readonly index: number;
}

/** What the header row of a cycle file says. */
export interface Header {
  /** The columns that can be used; `time` and `speed` are missing only if there are problems. */
  readonly time: PlacedColumn | undefined;
  readonly speed: PlacedColumn | undefined;
  readonly road: PlacedColumn | undefined;
  /** How many cells a row has. */
  readonly width: number;
  readonly problems: readonly Problem[];
}

/**
 * Reads the header row of a cycle file.
 *
 * @param cells the cells of the row
 * @returns the columns found, and what is wrong with the row, without file and line
 */
export function readHeader(cells: readonly string[]): Header {
  const names = cells.map((cell) => cell.trim());
  const formProblem = problemOfForm(names);
  const problems: Problem[] = formProblem === undefined ? [] : [formProblem];
  const placed: PlacedColumn[] = [];
  const meant = new Set<Quantity>();
  if (formProblem === undefined) {
    for (const [index, name] of names.entries()) {
      const column = COLUMNS.find((candidate) => candidate.header === name);
      if (column === undefined) {
        const quantity = quantityMeant(name);
        if (quantity !== undefined) meant.add(quantity);
        problems.push(unknownColumn(name, index, quantity));
        continue;
      }
      const rival = placed.find(
        (other) =>
          isRoad(other) === isRoad(column) &&
          (isRoad(column) || other.quantity === column.quantity),
      );
      if (rival === undefined) placed.push({ ...column, index });
      else problems.push(secondColumn(column, rival));
    }
    for (const quantity of ['time', 'speed'] as const) {
      const present = placed.some((column) => column.quantity === quantity);
      if (!present && !meant.has(quantity)) problems.push(missingColumn(quantity));
    }
  }
  return {
    time: placed.find((column) => column.quantity === 'time'),
    speed: placed.find((column) => column.quantity === 'speed'),
    road: placed.find(isRoad),
    width: names.length,
    problems,
  };
}

function isRoad(column: Column): boolean {
  return column.quantity === 'grade' || column.quantity === 'altitude';
}

/** The header is no header of comma-separated cells at all. */
function problemOfForm(names: readonly string[]): Problem | undefined {
  const row = names.join(',');
  if (names.length === 1 && /[;\t]/.test(row)) {
    return {
      code: 'wrong-delimiter',
      found: row,
      expected: FORM,
      hint: `this file separates its cells by ${row.includes(';') ? 'semicolons' : 'tabs'}: save it with commas, and with decimal points if it has decimal commas`,
    };
  }
  if (parseNumber(names[0] ?? '') !== undefined) {
    return {
      code: 'missing-header',
      found: row,
      expected: FORM,
      hint: 'the first row holds numbers: put the names of the columns above it',
    };
  }
  return undefined;
}

/** The quantity that a wrong name begins with: `speed` for `speed [km/h]`. */
function quantityMeant(name: string): Quantity | undefined {
  const stem = /^[a-z]*/.exec(name.toLowerCase())?.[0];
  return COLUMNS.find((column) => column.quantity === stem)?.quantity;
}

function headersOf(columns: readonly Column[]): string[] {
  return columns.map((column) => column.header);
}

function unknownColumn(name: string, index: number, quantity: Quantity | undefined): Problem {
  const candidates = COLUMNS.filter(
    (column) => quantity === undefined || column.quantity === quantity,
  );
  // `speed` alone names no unit, so none may be guessed; a time or a grade has but one.
  const near =
    candidates.length === 1
      ? candidates[0]?.header
      : name.toLowerCase() === quantity
        ? undefined
        : suggest(name, headersOf(candidates));
  const column = candidates.find((candidate) => candidate.header === near);
  return {
    code: 'unknown-column',
    path: name === '' ? `column ${index + 1}` : name,
    found: name,
    expected: `one of ${headersOf(COLUMNS).join(', ')}`,
    hint: hintFor(column, quantity, candidates),
  };
}

function hintFor(
  near: Column | undefined,
  quantity: Quantity | undefined,
  candidates: readonly Column[],
): string {
  if (near !== undefined) return `did you mean \`${near.header}\` (in ${near.unit})?`;
  if (quantity !== undefined) return `name the unit: ${headersOf(candidates).join(', ')}`;
  return 'leave out the columns that are no part of a cycle';
}

function secondColumn(column: Column, rival: PlacedColumn): Problem {
  const same = column.header === rival.header;
  return {
    code: same ? 'duplicate-column' : 'conflicting-columns',
    path: column.header,
    found: column.header,
    expected: same
      ? `\`${column.header}\` once`
      : `${isRoad(column) ? 'grade or altitude, not both' : `one column of ${column.quantity}`}, and \`${rival.header}\` is there already`,
    hint: 'leave one of the two columns out',
  };
}

function missingColumn(quantity: 'time' | 'speed'): Problem {
  const headers = headersOf(COLUMNS.filter((column) => column.quantity === quantity));
  return {
    code: 'missing-column',
    path: headers[0]!,
    expected:
      headers.length === 1 ? `a column \`${headers[0]}\`` : `one column of ${headers.join(', ')}`,
    hint: 'the first row that is no comment names the columns, as in `time_s,speed_kmh`',
  };
}
