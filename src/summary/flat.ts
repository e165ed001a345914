import { PARTS } from '../simulate/waterfall.ts';
import type { Summary } from './summary.ts';
import type { StepSummary } from './waterfall.ts';
import { waterfallCautions } from './waterfall-words.ts';

/** What a cell of a table of results may hold; null leaves it empty. */
export type Cell = number | string | boolean | null;

/**
 * A summary as one row. The columns are the keys of the JSON document with their groups in front and
 * their unit at the end (`ledger_store_rotor_drag_kJ`), in the same order, always all of them; the
 * ledgers of the two references are left out and the warnings share one cell, a bar between two of
 * them. Where the saving was asked for in steps, those columns stand last.
 */
export function flatSummary(summary: Summary): Record<string, Cell> {
  const { references: _, warnings, waterfall, search, ...rest } = summary;
  const columns = [
    ...groupCells(rest, unitLast),
    ['search_factor', search?.factor ?? null] as const,
    ['search_gain', search?.gain ?? null] as const,
    ['search_start_price_kJ', search?.start_price_kJ ?? null] as const,
    ['warnings', warnings.join(' | ')] as const,
  ];
  return { ...Object.fromEntries(columns), ...(waterfall && flatWaterfall(waterfall)) };
}

/**
 * A saving in steps as columns: all steps that any strategy may have, so that cases with different
 * strategies stand under one header, and the cautions in one cell.
 * @param steps of a saving; undefined for a case without a result, whose cells stay empty
 */
export function flatWaterfall(steps: readonly StepSummary[] | undefined): Record<string, Cell> {
  const columns = PARTS.flatMap((part): (readonly [string, Cell])[] => {
    const step = steps?.find((one) => one.step === part);
    return [
      [`waterfall_${part}_L_per_100km`, step?.saving_L_per_100km ?? null],
      [`waterfall_${part}_pct`, step?.saving_pct ?? null],
      [`waterfall_${part}_lost_without_pct`, step?.without.lost_pct ?? null],
    ];
  });
  const cautions = steps === undefined ? null : waterfallCautions(steps).join(' | ');
  return { ...Object.fromEntries(columns), waterfall_cautions: cautions };
}

/**
 * The figures of a document as cells, in their order, each under its keys with their groups in front.
 * @param group of figures and groups of figures
 * @param named what a column is called in place of its keys
 */
export function groupCells(
  group: object,
  named: (keys: string) => string = (keys) => keys,
  prefix = '',
): (readonly [string, Cell])[] {
  return Object.entries(group).flatMap(([key, value]: [string, Cell | object]) => {
    const keys = prefix + key;
    if (typeof value !== 'object' || value === null) return [[named(keys), value] as const];
    return groupCells(value, named, `${keys}_`);
  });
}

/** `missed_recovery_kJ_full` is `missed_recovery_full_kJ`, `limit_s_full` is `limit_full_s`. */
function unitLast(name: string): string {
  return name.replace(/^(missed_recovery|counts_limit)_(kJ|s)_(.+)$/, '$1_$3_$2');
}
