/** A place in the search: for each number where it stands between its bounds, from 0 to 1. */
export type Point = readonly number[];

/** How good a point is. */
export interface Merit {
  /** What is to be small; NaN for a point of which nothing can be said, which is worse than any. */
  readonly objective: number;
  /** For each constraint by how much it is missed, in its own unit; 0 where it holds. */
  readonly violations: readonly number[];
}

/** A point that was looked at. */
export interface Evaluated {
  readonly point: Point;
  readonly merit: Merit;
}

/**
 * Judges points, in the order in which they are given. Points that are judged together must not hang
 * on one another, so that they may be judged at the same time.
 */
export type Evaluate = (points: readonly Point[]) => Promise<readonly Merit[]>;

/** Whether a point holds every constraint. */
export function isFeasible({ objective, violations }: Merit): boolean {
  return !Number.isNaN(objective) && violations.every((violation) => violation === 0);
}

/**
 * Which of two points is better, by the feasibility rules of Deb (2000; from memory, not verified):
 * one that holds all constraints is better than one that does not; of two that do, the one with the
 * smaller objective; of two that do not, the one that misses them by less. No weight is between
 * objective and constraints. So that the units of constraints do not weigh either, each violation
 * counts in shares of the largest one among the points that the search began with.
 */
export class FeasibilityRules {
  readonly #scales: readonly number[];

  /** @param first merits of the points that the search began with */
  constructor(first: readonly Merit[]) {
    const count = first[0]?.violations.length ?? 0;
    this.#scales = Array.from({ length: count }, (_, k) => {
      const missed = first.map(({ violations }) => violations[k] ?? 0).filter(Number.isFinite);
      return Math.max(0, ...missed) || 1;
    });
  }

  /** Negative if the first is better, positive if the second is, 0 if neither. */
  compare(one: Merit, other: Merit): number {
    const [missed, otherMissed] = [this.#missed(one), this.#missed(other)];
    if (missed !== otherMissed) return missed < otherMissed ? -1 : 1;
    if (missed > 0) return 0;
    return one.objective - other.objective;
  }

  /** The best of some points, the first of them where several are equal. */
  best<T extends { readonly merit: Merit }>(points: readonly [T, ...T[]]): T {
    return points.reduce((best, one) => (this.compare(one.merit, best.merit) < 0 ? one : best));
  }

  #missed({ objective, violations }: Merit): number {
    if (Number.isNaN(objective)) return Number.POSITIVE_INFINITY;
    return violations.reduce((sum, violation, k) => sum + violation / this.#scales[k]!, 0);
  }
}
