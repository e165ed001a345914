import type { SearchedNumber } from '../strategy/contract.ts';

/** Share of the laps that goes into the whole range; the rest is for what lies about the best sets. */
const WIDE_SHARE = 0.35;

/** Best sets that others are made from, and of these the ones that a step is taken from. */
const PARENTS = 8;
const CENTRES = 4;

/** Sets whose costs differ by less, over the cost, count as one. */
const ALIKE = 1e-5;

/** A step is so many times the difference of two good sets. */
const STEP = { least: 0.35, most: 1.05 } as const;

/** Beyond it each number moves by no more than this share of its range, lest all good sets lie in a line. */
const STRAY = 0.015;

/** Bases of the points that fill a range evenly, one for each number. */
const BASES = [2, 3, 5, 7, 11, 13];

/** Where a set lies in the range of each number, 0 to 1. */
type Place = readonly number[];

/** A set of values that was tried. */
export interface Tried {
  readonly values: readonly number[];
  /** What is to be least */
  readonly cost: number;
  /** Rotor speed at the start of its lap [rad/s] */
  readonly rotorSpeed: number;
}

/** How a set turned out. */
export interface Attempt {
  /** Laps that were driven for it */
  readonly laps: number;
  /** Left out where it was given up */
  readonly result?: Omit<Tried, 'values'>;
}

/**
 * Looks for the set of values that costs least, where the cost is no smooth function of them and they do
 * not act one by one. Points spread evenly over all numbers together come first. Then each of the best
 * few in turn takes a step, which is a share of the difference of two good sets: so the steps are long
 * where good sets lie far apart and grow shorter as they gather, and they follow what numbers have to
 * change together, as in differential evolution (Storn & Price 1997, from memory, not verified). There
 * is no chance in it: all shares come from evenly spread points, too.
 *
 * @param numbers each with its range; the lowest of all and the usual ones are tried first
 * @param mostLaps after which no further row of steps is begun
 * @param attempt tries a set; the first two without a best one to be held against, and must not give
 *   these up
 * @returns all that were not given up, the best first; of those that cost the same the first tried
 */
export function searchNumbers(
  numbers: readonly SearchedNumber[],
  mostLaps: number,
  attempt: (values: readonly number[], best: Tried | undefined) => Attempt,
): readonly Tried[] {
  const found: (Tried & { readonly at: Place })[] = [];
  let laps = 0;
  const take = (at: Place, best: Tried | undefined): void => {
    const values = numbers.map(({ rungs }, k) => valueAt(rungs, at[k]!));
    const tried = attempt(values, best);
    laps += tried.laps;
    if (tried.result === undefined) return;
    found.push({ ...tried.result, values, at });
    found.sort((a, b) => a.cost - b.cost);
  };
  take(
    numbers.map(() => 0),
    undefined,
  );
  take(
    numbers.map(({ rungs, start }) => rungs.indexOf(start) / (rungs.length - 1)),
    undefined,
  );
  for (let index = 1; laps < WIDE_SHARE * mostLaps; index++) {
    take(
      numbers.map((_, k) => radicalInverse(index, BASES[k]!)),
      found[0],
    );
  }
  for (let index = 1; laps < mostLaps; ) {
    const parents = unlike(found).map(({ at }) => at);
    for (const centre of parents.slice(0, CENTRES)) {
      take(stepped(centre, parents, index), found[0]);
      index++;
    }
  }
  return found;
}

/** The best that differ in cost: sets that do so by next to nothing decide alike throughout. */
function unlike<T extends Tried>(found: readonly T[]): readonly T[] {
  const kept: T[] = [];
  for (const one of found) {
    const last = kept.at(-1);
    if (last === undefined || one.cost - last.cost > ALIKE * Math.abs(last.cost)) kept.push(one);
    if (kept.length === PARENTS) break;
  }
  return kept;
}

/** A step from a place, by a share of the difference of two of its like. */
function stepped(centre: Place, parents: readonly Place[], index: number): Place {
  const [one, two, share, ...stray] = [2, 3, 5, 7, 11, 13, 17, 19, 23].map((base) =>
    radicalInverse(index, base),
  ) as [number, number, number, ...number[]];
  const from = parents[Math.floor(one * parents.length)]!;
  const to = parents[Math.floor(two * parents.length)]!;
  const length = STEP.least + share * (STEP.most - STEP.least);
  return centre.map((x, k) => {
    const moved = x + length * (to[k]! - from[k]!) + STRAY * (2 * stray[k]! - 1);
    return Math.min(Math.max(moved, 0), 1);
  });
}

/** Value at a share of the way through the rungs, which lie in even steps. */
function valueAt(rungs: readonly number[], share: number): number {
  const place = share * (rungs.length - 1);
  const below = Math.floor(place);
  const low = rungs[below]!;
  return low + (place - below) * ((rungs[below + 1] ?? low) - low);
}

/**
 * Digits of a whole number in a base, mirrored at the point: 0 … 1. Of a row of numbers they fill the
 * range evenly, and together with those in other bases the square and the cube (Halton 1960, from memory).
 */
function radicalInverse(index: number, base: number): number {
  let place = 1;
  let sum = 0;
  for (let left = index; left > 0; left = Math.floor(left / base)) {
    place /= base;
    sum += place * (left % base);
  }
  return sum;
}
