import type { Summary } from './summary.ts';

/** What a cell of a table of results may hold; null leaves it empty. */
export type Cell = number | string | boolean | null;

/**
 * A summary as one row. The columns are the keys of the JSON document with their groups in front and
 * their unit at the end (`ledger_store_rotor_drag_kJ`), in the same order, always all of them; the
 * ledgers of the two references are left out and the warnings share one cell, a bar between two of
 * them.
 */
export function flatSummary(summary: Summary): Record<string, Cell> {
  const { references: _, warnings, ...rest } = summary;
  const columns = [...cellsOf(rest, ''), ['warnings', warnings.join(' | ')] as const];
  return Object.fromEntries(columns);
}

function cellsOf(group: object, prefix: string): (readonly [string, Cell])[] {
  return Object.entries(group).flatMap(([key, value]: [string, Cell | object]) => {
    const name = prefix + key;
    if (typeof value !== 'object' || value === null) return [[unitLast(name), value] as const];
    return cellsOf(value, `${name}_`);
  });
}

/** `missed_recovery_kJ_full` is `missed_recovery_full_kJ`, `limit_s_full` is `limit_full_s`. */
function unitLast(name: string): string {
  return name.replace(/^(missed_recovery|counts_limit)_(kJ|s)_(.+)$/, '$1_$3_$2');
}
