import { largestShortfall } from '../summary/shortfall.ts';
import { isNumberLike } from './number-like.ts';
import {
  boundOf,
  type Failure,
  type MeanFuel,
  NO_SAVING,
  type RankedCase,
  type RankedRow,
  type Ranking,
  savingOf,
} from './ranking.ts';
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

/** Reasons of failed cases that are told apart. */
const FAILURES = 5;

const FUELS = [
  'baseline_L_per_100km',
  'stop_start_L_per_100km',
  'store_L_per_100km',
  'baseline_co2_g_per_km',
  'stop_start_co2_g_per_km',
  'store_co2_g_per_km',
  'bound_L_per_100km',
  'bound_co2_g_per_km',
] as const satisfies readonly (keyof MeanFuel)[];

/** A row while it gathers its cases. */
interface Gathered extends Pick<RankedRow, 'car' | 'store' | 'strategy' | 'values'> {
  /** Each fuel times the share of its cycle, added up. */
  readonly sums: Float64Array;
  /** Shares that went into the sums. */
  shares: number;
  /** Cycles that went into the sums. */
  counted: number;
  readonly cases: RankedRow['cases'][number][];
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
  readonly #numberHashes: string[] = [];
  #best: RankedCase | null = null;
  #worst: RankedCase | null = null;

  constructor(rules: RankingRules) {
    this.#rules = rules;
  }

  /** Takes in a finished case. */
  add(record: StudyRecord): void {
    const { cycle, hash } = record.case;
    this.#cycles.add(cycle);
    if (isNumberLike(hash)) this.#numberHashes.push(hash);
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
    const rows = [...this.#rows.values()].map((row) => rankedRow(row, counting)).sort(bySaving);
    return {
      varied,
      tolerance,
      cycles: names.map((name) => ({ name, share: total > 0 ? this.#shareOf(name) / total : 0 })),
      rows,
      bounded: rows.some(({ cases }) => cases.some((one) => one.bound_L_per_100km !== undefined)),
      best: this.#best,
      worst: this.#worst,
      ...this.#counts,
      failures: [...this.#failures.values()],
      numberHashes: this.#numberHashes,
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
        row.sums[k]! += share * (record.fuel[key] ?? Number.NaN);
      });
    }
    const { baseline_L_per_100km, stop_start_L_per_100km, store_L_per_100km } = record.fuel;
    const { bound_L_per_100km } = record.fuel;
    row.cases.push({
      cycle,
      baseline_L_per_100km,
      stop_start_L_per_100km,
      store_L_per_100km,
      ...(bound_L_per_100km !== undefined && { bound_L_per_100km }),
    });
    const { vs_baseline_pct } = record.saving;
    if (vs_baseline_pct === null || isLost) return;
    const { car, store, strategy, values } = row;
    const single = { car, store, strategy, values, cycle, vs_baseline_pct };
    if (vs_baseline_pct > (this.#best?.vs_baseline_pct ?? Number.NEGATIVE_INFINITY)) {
      this.#best = single;
    }
    if (vs_baseline_pct < (this.#worst?.vs_baseline_pct ?? Number.POSITIVE_INFINITY)) {
      this.#worst = single;
    }
  }

  #addFailed(row: Gathered, { case: one, error: { kind, message } }: FailedRecord): void {
    this.#counts.failed++;
    if (this.#shareOf(one.cycle) > 0) row.failed++;
    const key = `${kind} ${message}`;
    const known = this.#failures.get(key);
    if (known === undefined && this.#failures.size >= FAILURES) return;
    const { cases, first } = known ?? { cases: 0, first: one };
    this.#failures.set(key, { kind, message, cases: cases + 1, first });
  }
}

function rankedRow(row: Gathered, counting: number): RankedRow {
  const { sums, shares, counted, ...rest } = row;
  const fuel = counted === 0 ? null : meansOf(sums, shares);
  return {
    ...rest,
    fuel,
    saving: fuel === null ? NO_SAVING : savingOf(fuel),
    bound: fuel === null ? null : boundOf(fuel),
    complete: counting > 0 && counted >= counting,
  };
}

/** Means of the fuels that all cases have: of the bound only where it was asked for. */
function meansOf(sums: Float64Array, shares: number): MeanFuel {
  const means = FUELS.map((key, k) => [key, sums[k]! / shares] as const);
  const known = means.filter(([, mean]) => !Number.isNaN(mean));
  return Object.fromEntries(known) as unknown as MeanFuel;
}

/** Best first; equal ones stay in the order of the study. */
function bySaving(a: RankedRow, b: RankedRow): number {
  return group(a) - group(b) || (b.saving.vs_baseline_pct ?? 0) - (a.saving.vs_baseline_pct ?? 0);
}

function group({ saving, complete }: RankedRow): number {
  if (saving.vs_baseline_pct === null) return 2;
  return complete ? 0 : 1;
}
