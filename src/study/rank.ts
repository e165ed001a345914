import { PERCENT } from '../config/units.ts';
import { largestShortfall } from '../summary/shortfall.ts';
import type { Summary } from '../summary/summary.ts';
import type { DoneRecord, FailedRecord, StudyRecord } from './record.ts';

/** What the cases of a study are ranked by. */
export interface RankingRules {
  /** Paths of the numbers that are varied. */
  readonly varied: readonly string[];
  /**
   * Shares of distance that the cycles have in a mean, of any sum. A cycle without one does not
   * count; without any shares every cycle counts the same.
   */
  readonly cycleShares: Readonly<Record<string, number>> | null;
  /** Shortfall from which on a trace is not followed, in % of the tractive energy. */
  readonly tolerance: number;
}

/** Fuel per distance, by the keys of a summary. */
export type MeanFuel = Summary['fuel'];

/** A saving against the two references; null where there is no fuel to save. */
export interface Saving {
  readonly vs_baseline_pct: number | null;
  readonly vs_stop_start_pct: number | null;
}

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
  /** Whether all cycles that count are in the mean; if not, it compares with no other row. */
  readonly complete: boolean;
  /** Each case by itself, in the order of the study; those that do not count as well. */
  readonly cases: readonly CycleFuel[];
  /** Cases that failed, of cycles that count; so are the two below. */
  readonly failed: number;
  /** Cases whose trace was not followed within the tolerance, in any of the three runs. */
  readonly notFollowed: number;
  /** Cases whose fuel is corrected along a slope, not balanced by repetition. */
  readonly slopeCorrected: number;
}

/** What a case of a row burned. */
export interface CycleFuel {
  readonly cycle: string;
  readonly baseline_L_per_100km: number;
  readonly stop_start_L_per_100km: number;
  readonly store_L_per_100km: number;
}

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
}

/** A study in order: what saves most comes first. */
export interface Ranking {
  readonly varied: readonly string[];
  readonly tolerance: number;
  /** Cycles in the order of the study, with their shares of the mean, which add to 1. */
  readonly cycles: readonly { readonly name: string; readonly share: number }[];
  /** Complete rows by falling saving, then those with gaps, then those without a figure. */
  readonly rows: readonly RankedRow[];
  readonly best: RankedCase | null;
  readonly worst: RankedCase | null;
  /** All cases, those of cycles that do not count as well; so are the three below. */
  readonly done: number;
  readonly failed: number;
  readonly notFollowed: number;
  readonly slopeCorrected: number;
  /** The first few reasons, in the order of the study. */
  readonly failures: readonly Failure[];
}

/** Reasons of failed cases that are told apart. */
const FAILURES = 5;

const FUELS = [
  'baseline_L_per_100km',
  'stop_start_L_per_100km',
  'store_L_per_100km',
  'baseline_co2_g_per_km',
  'stop_start_co2_g_per_km',
  'store_co2_g_per_km',
] as const satisfies readonly (keyof MeanFuel)[];

/** A row while it gathers its cases. */
interface Gathered extends Pick<RankedRow, 'car' | 'store' | 'strategy' | 'values'> {
  /** Each fuel times the share of its cycle, added up. */
  readonly sums: Float64Array;
  /** Shares that went into the sums. */
  shares: number;
  /** Cycles that went into the sums. */
  counted: number;
  readonly cases: CycleFuel[];
  failed: number;
  notFollowed: number;
  slopeCorrected: number;
}

/**
 * Ranks the cases of a study as they come: it keeps a few numbers a row and none of the records.
 */
export class Ranker {
  readonly #rules: RankingRules;
  readonly #rows = new Map<string, Gathered>();
  readonly #cycles = new Set<string>();
  readonly #failures = new Map<string, Failure>();
  readonly #counts = { done: 0, failed: 0, notFollowed: 0, slopeCorrected: 0 };
  #best: RankedCase | null = null;
  #worst: RankedCase | null = null;

  constructor(rules: RankingRules) {
    this.#rules = rules;
  }

  /** Takes in a finished case. */
  add(record: StudyRecord): void {
    this.#cycles.add(record.case.cycle);
    const row = this.#rowOf(record);
    if (record.state === 'done') this.#addDone(row, record);
    else this.#addFailed(row, record);
  }

  /** The ranking of what has come so far. */
  ranking(): Ranking {
    const { varied, tolerance } = this.#rules;
    const names = [...this.#cycles];
    const total = names.reduce((sum, name) => sum + this.#shareOf(name), 0);
    const counting = names.filter((name) => this.#shareOf(name) > 0).length;
    return {
      varied,
      tolerance,
      cycles: names.map((name) => ({ name, share: total > 0 ? this.#shareOf(name) / total : 0 })),
      rows: [...this.#rows.values()].map((row) => rankedRow(row, counting)).sort(bySaving),
      best: this.#best,
      worst: this.#worst,
      ...this.#counts,
      failures: [...this.#failures.values()],
    };
  }

  #shareOf(cycle: string): number {
    const { cycleShares } = this.#rules;
    if (cycleShares === null) return 1;
    return Object.hasOwn(cycleShares, cycle) ? cycleShares[cycle]! : 0;
  }

  #rowOf({ case: { car, store, strategy }, varied }: StudyRecord): Gathered {
    const values = this.#rules.varied.map((path) => varied[path] ?? null);
    const key = JSON.stringify([car, store, strategy, ...values]);
    const known = this.#rows.get(key);
    if (known !== undefined) return known;
    const row: Gathered = {
      car,
      store,
      strategy,
      values,
      sums: new Float64Array(FUELS.length),
      shares: 0,
      counted: 0,
      cases: [],
      failed: 0,
      notFollowed: 0,
      slopeCorrected: 0,
    };
    this.#rows.set(key, row);
    return row;
  }

  #addDone(row: Gathered, record: DoneRecord): void {
    const { cycle } = record.case;
    const share = this.#shareOf(cycle);
    const isSlope = record.saving.balance.method === 'slope';
    const isLost = largestShortfall(record) > this.#rules.tolerance;
    this.#counts.done++;
    if (isLost) this.#counts.notFollowed++;
    if (isSlope) this.#counts.slopeCorrected++;
    if (share > 0) {
      if (isLost) row.notFollowed++;
      if (isSlope) row.slopeCorrected++;
      row.shares += share;
      row.counted++;
      FUELS.forEach((key, k) => {
        row.sums[k]! += share * record.fuel[key];
      });
    }
    const { baseline_L_per_100km, stop_start_L_per_100km, store_L_per_100km } = record.fuel;
    row.cases.push({ cycle, baseline_L_per_100km, stop_start_L_per_100km, store_L_per_100km });
    const { vs_baseline_pct } = record.saving;
    if (vs_baseline_pct === null) return;
    const { car, store, strategy, values } = row;
    const single = { car, store, strategy, values, cycle, vs_baseline_pct };
    if (vs_baseline_pct > (this.#best?.vs_baseline_pct ?? Number.NEGATIVE_INFINITY)) {
      this.#best = single;
    }
    if (vs_baseline_pct < (this.#worst?.vs_baseline_pct ?? Number.POSITIVE_INFINITY)) {
      this.#worst = single;
    }
  }

  #addFailed(row: Gathered, { case: { cycle }, error: { kind, message } }: FailedRecord): void {
    this.#counts.failed++;
    if (this.#shareOf(cycle) > 0) row.failed++;
    const key = `${kind} ${message}`;
    const cases = this.#failures.get(key)?.cases ?? 0;
    if (cases > 0 || this.#failures.size < FAILURES) {
      this.#failures.set(key, { kind, message, cases: cases + 1 });
    }
  }
}

function rankedRow(row: Gathered, counting: number): RankedRow {
  const { sums, shares, counted, ...rest } = row;
  const fuel =
    counted === 0
      ? null
      : (Object.fromEntries(
          FUELS.map((key, k) => [key, sums[k]! / shares]),
        ) as unknown as MeanFuel);
  return {
    ...rest,
    fuel,
    saving: fuel === null ? NO_SAVING : savingOf(fuel),
    complete: counting > 0 && counted >= counting,
  };
}

const NO_SAVING: Saving = { vs_baseline_pct: null, vs_stop_start_pct: null };

/** The saving of a case or of means, from what they burn per distance. */
export function savingOf(fuel: Omit<CycleFuel, 'cycle'>): Saving {
  const { baseline_L_per_100km, stop_start_L_per_100km, store_L_per_100km } = fuel;
  return {
    vs_baseline_pct: saved(store_L_per_100km, baseline_L_per_100km),
    vs_stop_start_pct: saved(store_L_per_100km, stop_start_L_per_100km),
  };
}

function saved(fuel: number, reference: number): number | null {
  return reference > 0 ? (reference - fuel) / reference / PERCENT : null;
}

/** Best first; equal ones stay in the order of the study. */
function bySaving(a: RankedRow, b: RankedRow): number {
  return group(a) - group(b) || (b.saving.vs_baseline_pct ?? 0) - (a.saving.vs_baseline_pct ?? 0);
}

function group({ saving, complete }: RankedRow): number {
  if (saving.vs_baseline_pct === null) return 2;
  return complete ? 0 : 1;
}
