import { stringify } from 'csv-stringify/sync';
import type { Cell } from '../summary/flat.ts';
import { numberCell } from './csv-cell.ts';
import { type CsvDialect, PLAIN_DIALECT } from './csv-dialect.ts';

/**
 * Rows of the same keys as CSV, with the keys as headers. For tables of results that fit into one
 * text; a log of thousands of rows is written by `log-csv.ts`, the cases of a study by
 * `study-csv.ts`.
 */
export function recordsCsv(
  records: readonly Readonly<Record<string, Cell>>[],
  dialect: CsvDialect = PLAIN_DIALECT,
): string {
  const header = Object.keys(records[0] ?? {});
  const text = (value: Cell) => (typeof value === 'string' ? value : numberCell(value, dialect));
  const rows = records.map((record) => header.map((key) => text(record[key] ?? null)));
  // The library does not know a lone carriage return for a line end, spreadsheets do.
  return stringify([header, ...rows], { delimiter: dialect.delimiter, quoted_match: '\r' });
}
