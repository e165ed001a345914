import type { Rotor } from '../physics/rotor.ts';
import { groupCells } from '../summary/flat.ts';
import { type RotorSummary, spinDownRows } from '../summary/rotor-summary.ts';
import type { CsvDialect } from './csv-dialect.ts';
import { recordsCsv } from './records-csv.ts';

/**
 * A rotor's figures as CSV: a header and one row, the caution in front. The columns are the keys of the
 * JSON document with their groups in front; the windage has a table of its own.
 */
export function rotorCsv(summary: RotorSummary, dialect?: CsvDialect): string {
  const { warnings, windage: _, ...rest } = summary;
  const row = { ...Object.fromEntries(groupCells(rest)), warnings: warnings.join(' | ') };
  return recordsCsv([row], dialect);
}

/** The spin-down from the greatest speed as CSV, a row a moment. */
export function spinDownCsv(rotor: Rotor, dialect?: CsvDialect): string {
  return recordsCsv(spinDownRows(rotor), dialect);
}

/** Windage over pressure as CSV; only headers where nothing is known of the housing. */
export function windageCsv({ windage }: RotorSummary, dialect?: CsvDialect): string {
  return recordsCsv(
    (windage ?? []).map((point) => ({ ...point })),
    dialect,
  );
}
