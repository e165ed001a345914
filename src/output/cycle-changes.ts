import { KMH, PERCENT } from '../config/units.ts';
import { CHANGE_KINDS, type ChangeKind, type Changes } from '../cycle/clean-report.ts';
import { csvCell } from './csv-cell.ts';
import { type CsvDialect, PLAIN_DIALECT } from './csv-dialect.ts';

/** Characters that are gathered before they are written. */
const CHUNK = 1 << 16;

/** Which columns the two values of a change stand in, and their unit in SI; null is no column. */
interface ValueColumns {
  readonly before: Column | null;
  readonly after: Column | null;
  readonly unit: number;
}

const COLUMNS = [
  'speed_before_kmh',
  'speed_after_kmh',
  'clock_before_s',
  'clock_after_s',
  'altitude_filled_m',
  'grade_filled_pct',
  'rows_before',
  'rows_after',
] as const;
type Column = (typeof COLUMNS)[number];

const SPEEDS: ValueColumns = { before: 'speed_before_kmh', after: 'speed_after_kmh', unit: KMH };
const INSTANTS: ValueColumns = { before: 'clock_before_s', after: 'clock_after_s', unit: 1 };

/** What is no speed. */
const OTHERS: { readonly [Kind in ChangeKind]?: ValueColumns } = {
  'clock-set-back': INSTANTS,
  'gap-bridged': INSTANTS,
  'gap-split': INSTANTS,
  'altitude-filled': { before: null, after: 'altitude_filled_m', unit: 1 },
  'grade-filled': { before: null, after: 'grade_filled_pct', unit: PERCENT },
  resampled: { before: 'rows_before', after: 'rows_after', unit: 1 },
};

/**
 * Writes what cleaning changed, a row a change in the order of the file: `time_s,line,kind`, and the
 * values before and after in the columns of their quantity. A row that was left out has no value
 * after it, a value that was filled in none before it.
 *
 * @param changes as they were made
 * @param write takes the next piece of text
 * @param dialect
 */
export function writeChanges(
  changes: Changes,
  write: (text: string) => void,
  dialect: CsvDialect = PLAIN_DIALECT,
): void {
  let text = `${['time_s', 'line', 'kind', ...COLUMNS].join(dialect.delimiter)}\n`;
  for (let k = 0; k < changes.time.length; k++) {
    text += changeRow(changes, k, dialect);
    if (text.length < CHUNK) continue;
    write(text);
    text = '';
  }
  write(text);
}

function changeRow(
  { time, line, kind, before, after }: Changes,
  k: number,
  dialect: CsvDialect,
): string {
  const name = CHANGE_KINDS[kind[k]!]!;
  const place = OTHERS[name] ?? SPEEDS;
  const values = COLUMNS.map((column) => {
    if (column === place.before) return valueCell(before[k]! / place.unit, dialect);
    return column === place.after ? valueCell(after[k]! / place.unit, dialect) : '';
  });
  const cells = [valueCell(time[k]!, dialect), csvCell(line[k]!), name, ...values];
  return `${cells.join(dialect.delimiter)}\n`;
}

/** A row that lacks a value has an empty cell there. */
function valueCell(value: number, dialect: CsvDialect): string {
  return csvCell(Number.isFinite(value) ? value : null, dialect);
}
