import { stringify } from 'csv-stringify/sync';
import type { Cell } from '../summary/flat.ts';
import { csvCell } from './csv-cell.ts';

/**
 * Rows of the same keys as CSV, with the keys as headers. For tables of results; a log of thousands
 * of rows is written by `log-csv.ts`, where every cell is a number or a known name.
 */
export function recordsCsv(records: readonly Readonly<Record<string, Cell>>[]): string {
  const header = Object.keys(records[0] ?? {});
  const text = (value: Cell) => (typeof value === 'string' ? value : csvCell(value));
  const rows = records.map((record) => header.map((key) => text(record[key] ?? null)));
  return stringify([header, ...rows]);
}
