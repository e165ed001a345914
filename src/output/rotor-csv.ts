import type { Rotor } from '../physics/rotor.ts';
import type { Cell } from '../summary/flat.ts';
import { type RotorSummary, spinDownRows } from '../summary/rotor-summary.ts';
import { recordsCsv } from './records-csv.ts';

/**
 * A rotor's figures as CSV: a header and one row, the caution in front. The columns are the keys of the
 * JSON document with their groups in front; the windage has a table of its own.
 */
export function rotorCsv(summary: RotorSummary): string {
  const { warnings, windage: _, ...rest } = summary;
  return recordsCsv([{ ...Object.fromEntries(cellsOf(rest, '')), warnings: warnings.join(' | ') }]);
}

/** The spin-down from the greatest speed as CSV, a row a moment. */
export function spinDownCsv(rotor: Rotor): string {
  return recordsCsv(spinDownRows(rotor));
}

/** Windage over pressure as CSV; only headers where nothing is known of the housing. */
export function windageCsv({ windage }: RotorSummary): string {
  return recordsCsv((windage ?? []).map((point) => ({ ...point })));
}

function cellsOf(group: object, prefix: string): [string, Cell][] {
  return Object.entries(group).flatMap(([key, value]: [string, Cell | object]) =>
    typeof value === 'object' && value !== null
      ? cellsOf(value, `${prefix}${key}_`)
      : ([[prefix + key, value]] as [string, Cell][]),
  );
}
