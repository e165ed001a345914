import { PERCENT } from '../config/units.ts';
import type { BoundFigures } from '../optimum/bound-summary.ts';
import type { DoneRecord, FailedRecord } from './record.ts';

/** Fuel per distance, by the keys of a summary. */
export type MeanFuel = DoneRecord['fuel'];

/** A saving against the two references; null where there is no fuel to save. */
export interface Saving {
  readonly vs_baseline_pct: number | null;
  readonly vs_stop_start_pct: number | null;
}

export const NO_SAVING: Saving = { vs_baseline_pct: null, vs_stop_start_pct: null };

/** A car with a store, a strategy and values of the varied numbers, over all of its cycles. */
export interface RankedRow {
  readonly car: string;
  readonly store: string;
  readonly strategy: string;
  /** One a varied path; null where the file's own number serves. */
  readonly values: readonly (number | null)[];
  /** Means over the cycles; null where no cycle that counts is done. */
  readonly fuel: MeanFuel | null;
  /** Of the mean fuels: never a mean of percentages. */
  readonly saving: Saving;
  /** The least fuel of any strategy against the mean fuels; null where the study does not ask for it. */
  readonly bound: MeanBound | null;
  /** Whether all cycles that count are in the mean; if not, it compares with no other row. */
  readonly complete: boolean;
  /** Each case by itself, in the order of the study; those that do not count as well. */
  readonly cases: readonly CycleFuel[];
  /** Cases that failed, of cycles that count; so are the two below. */
  readonly failed: number;
  /** Cases whose trace was not followed within the tolerance, in any of the three runs. */
  readonly notFollowed: number;
  /** Cases whose fuel is corrected, to a mean of laps or along a slope, not balanced by repetition. */
  readonly slopeCorrected: number;
}

/** What a case of a row burned. */
export interface CycleFuel {
  readonly cycle: string;
  readonly baseline_L_per_100km: number;
  readonly stop_start_L_per_100km: number;
  readonly store_L_per_100km: number;
  readonly bound_L_per_100km?: number;
}

/** How far a mean is from the least fuel of any strategy, and what that would save. */
export type MeanBound = Pick<
  BoundFigures,
  'gap_pct' | 'saving_vs_baseline_pct' | 'saving_vs_stop_start_pct'
>;

/** One case by itself. */
export interface RankedCase extends Pick<RankedRow, 'car' | 'store' | 'strategy' | 'values'> {
  readonly cycle: string;
  readonly vs_baseline_pct: number;
}

/** A reason why cases failed. */
export interface Failure {
  readonly kind: FailedRecord['error']['kind'];
  readonly message: string;
  readonly cases: number;
  /** The first of them */
  readonly first: FailedRecord['case'];
}

/** A study in order: what saves most comes first. */
export interface Ranking {
  readonly varied: readonly string[];
  readonly tolerance: number;
  /** Cycles in the order of the study, with their shares of the mean, which add to 1. */
  readonly cycles: readonly { readonly name: string; readonly share: number }[];
  /** Complete rows by falling saving, then those with gaps, then those without a figure. */
  readonly rows: readonly RankedRow[];
  /** Whether the study asks for the least fuel of any strategy. */
  readonly bounded: boolean;
  /** Of the cases whose trace was followed within the tolerance: the others save by driving less. */
  readonly best: RankedCase | null;
  readonly worst: RankedCase | null;
  /** All cases, those of cycles that do not count as well; so are the three below. */
  readonly done: number;
  readonly failed: number;
  readonly notFollowed: number;
  readonly slopeCorrected: number;
  /** The first few reasons, in the order of the study. */
  readonly failures: readonly Failure[];
  /** Hashes of cases that a spreadsheet would take for numbers: about one in 750. */
  readonly numberHashes: readonly string[];
}

/** The saving of a case or of means, from what they burn per distance. */
export function savingOf(fuel: Omit<CycleFuel, 'cycle'>): Saving {
  const { baseline_L_per_100km, stop_start_L_per_100km, store_L_per_100km } = fuel;
  return {
    vs_baseline_pct: saved(store_L_per_100km, baseline_L_per_100km),
    vs_stop_start_pct: saved(store_L_per_100km, stop_start_L_per_100km),
  };
}

/** The bound of a case or of means; null where there is none. */
export function boundOf(fuel: Omit<CycleFuel, 'cycle'>): MeanBound | null {
  const { bound_L_per_100km: least, ...rest } = fuel;
  if (least === undefined) return null;
  const { vs_baseline_pct, vs_stop_start_pct } = savingOf({ ...rest, store_L_per_100km: least });
  return {
    gap_pct: least > 0 ? (fuel.store_L_per_100km - least) / least / PERCENT : null,
    saving_vs_baseline_pct: vs_baseline_pct,
    saving_vs_stop_start_pct: vs_stop_start_pct,
  };
}

function saved(fuel: number, reference: number): number | null {
  return reference > 0 ? (reference - fuel) / reference / PERCENT : null;
}
