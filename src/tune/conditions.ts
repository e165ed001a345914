import type { Gate } from '../config/load-gates.ts';
import { figureNamed } from '../study/figures.ts';
import type { Compared } from '../study/gate-values.ts';
import { holdGate, marginOf } from '../study/gates.ts';
import { matchCases } from '../study/match.ts';
import type { ResultRow } from '../study/result-row.ts';
import type { Result } from '../study/results.ts';
import { type CycleShares, weighted } from '../study/shares.ts';
import { SHORTFALL } from './rows.ts';
import type { TuneCycle } from './tune.ts';

/** Shortfall up to which a trace counts as followed, in % of the tractive energy. */
const FOLLOWED = 0.5;

/** How a set of numbers stands to a constraint. */
export interface Standing {
  readonly holds: boolean;
  /** The figure that is nearest to a limit, or farthest beyond it; null where there is none. */
  readonly value: number | null;
  /** The cycle that it is of; null for a mean. */
  readonly cycle: string | null;
  /** How far it is within its limits, negative beyond them; null where there is no figure. */
  readonly slack: number | null;
  /** Why nothing can be said; null where something can. */
  readonly why: string | null;
}

/** Constraints, and the cases at the start that a change is counted from. */
export class Conditions {
  readonly gates: readonly Gate[];
  readonly #start: readonly ResultRow[];
  readonly #shares: CycleShares;

  /**
   * @param gates the constraints
   * @param start cases with the numbers of the files, on the cycles that constraints are held on
   * @param cycles the same cycles
   */
  constructor(gates: readonly Gate[], start: readonly ResultRow[], cycles: readonly TuneCycle[]) {
    this.gates = gates;
    this.#start = start;
    this.#shares = sharesOf(cycles);
  }

  /** How cases stand to each of the constraints. */
  standings(rows: readonly ResultRow[]): Standing[] {
    if (this.gates.length === 0) return [];
    const [before, after] = [resultOf(this.#start), resultOf(rows)];
    const matching = matchCases(before, after);
    const compared = { before, after, matching, shares: this.#shares };
    return this.gates.map((gate) => standing(gate, compared));
  }
}

/** By how much a constraint is missed: 0 where it holds. */
export function violationOf({ holds, slack }: Standing): number {
  if (holds) return 0;
  // At a limit that has to be passed, nothing is missing and yet it does not hold.
  return slack === null ? Number.POSITIVE_INFINITY : Math.max(-slack, Number.EPSILON);
}

/**
 * The constraint that no tune goes without: less fuel for a trace that is not driven is no saving.
 * Where the numbers of the files do not follow a trace themselves, no more may be missing than with
 * them.
 */
export function traceConstraint(start: readonly ResultRow[]): Gate {
  const isFollowed = start.every(({ figures }) => figures.of(SHORTFALL) <= FOLLOWED);
  return {
    name: isFollowed ? 'every trace is followed' : 'no trace is followed less than at the start',
    figure: SHORTFALL,
    of: isFollowed ? 'after' : 'change',
    over: 'each',
    at_most: isFollowed ? FOLLOWED : 0,
  };
}

/** A figure of the distance that cases share; NaN where there is none. */
export function meanFigure(
  name: string,
  rows: readonly ResultRow[],
  cycles: readonly TuneCycle[],
): number {
  return figureNamed(name).mean?.(weighted(rows, sharesOf(cycles))) ?? Number.NaN;
}

function standing(gate: Gate, compared: Compared): Standing {
  const { holds, worst, nearest, why } = holdGate(gate, compared);
  const one = holds ? nearest : worst[0];
  if (one === undefined || one === null || !Number.isFinite(one.value)) {
    return { holds: false, value: null, cycle: null, slack: null, why: why ?? one?.why ?? null };
  }
  return {
    holds,
    value: one.value,
    cycle: gate.over === 'mean' ? null : one.of.row.names.cycle,
    slack: marginOf(gate, one.value),
    why: null,
  };
}

function sharesOf(cycles: readonly TuneCycle[]): CycleShares {
  const shares = Object.fromEntries(cycles.map(({ name, share }) => [name, share]));
  const of = (cycle: string) => (Object.hasOwn(shares, cycle) ? (shares[cycle] ?? 0) : 0);
  const names = Object.keys(shares);
  return {
    from: 'study',
    shares,
    needed: names.filter((cycle) => of(cycle) > 0),
    left: names.filter((cycle) => of(cycle) === 0),
    of,
  };
}

function resultOf(rows: readonly ResultRow[]): Result {
  return {
    source: 'a tune',
    study: null,
    tools: [],
    modelVersion: null,
    cycleShares: null,
    varied: [],
    figures: new Set(),
    rows,
  };
}
