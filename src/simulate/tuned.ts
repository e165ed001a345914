import type { Store } from '../physics/store.ts';
import type { SearchedNumber, Strategy, StrategyMaker } from '../strategy/contract.ts';
import { type BalancedRun, runBalanced } from './balance.ts';
import type { Car } from './car.ts';
import type { Demand } from './demand.ts';
import { type Run, run } from './run.ts';
import { copyState, initialState } from './state.ts';
import { marginalFuel, totalFuel } from './total-fuel.ts';

/**
 * Work of a search: so many intervals, whatever the trace, but no fewer and no more laps than these. The
 * fewer the intervals, the more a single decision counts, and the more sets have to be looked at.
 */
const MOST_INTERVALS = 500e3;
const FEWEST_LAPS = 150;
const MOST_LAPS = 2000;

/** Share of the laps that goes into the whole range; the rest is for what lies beside the best sets. */
const WIDE_SHARE = 0.35;

/** How far from a set the search then looks, over the whole range of each number, for equal laps each. */
const REACHES = [0.2, 0.1, 0.05];

/** Sets that are searched around: with one alone, a lucky lap would bind the search to its place. */
const CENTRES = 5;

/** A set is driven to balance where a single lap promises no more than this above the least fuel yet. */
const PROMISE = 0.0075;

/** Bases of the points that fill the range evenly, one for each number. */
const BASES = [2, 3, 5, 7, 11, 13];

/**
 * Fuel that each joule counts for which an unbalanced lap took from the store, or which the wheels
 * lacked. Several times what any joule takes, so that no fuel is saved by not driving [J/J].
 */
const MISSING_PRICE = 20;

/**
 * The same for each joule by which a lap of a closed trace failed to settle: where it has, to the goal
 * of the balance, this is no more than a thousandth of the fuel [J/J].
 */
const UNSETTLED_PRICE = 100;

/** A number that was searched for a case. */
export interface FoundNumber {
  readonly name: string;
  readonly value: number;
  /** Range in which it was searched */
  readonly from: number;
  readonly to: number;
}

/** What a search found. */
export interface FoundNumbers {
  readonly numbers: readonly FoundNumber[];
  /** Sets of numbers that were driven to balance */
  readonly tried: number;
}

/** A balanced run, with the numbers that were searched for it where its strategy has some. */
export interface TunedRun extends BalancedRun {
  readonly found?: FoundNumbers;
}

/** A strategy with the numbers that were found for a case; as it stands where none were searched. */
export function tunedStrategy(
  makeStrategy: StrategyMaker,
  found: FoundNumbers | undefined,
): Strategy {
  const { search } = makeStrategy;
  if (found === undefined || search === undefined) return makeStrategy();
  return search.make(found.numbers.map(({ value }) => value));
}

/**
 * Drives a trace to balance, as `runBalanced` does; where the strategy has numbers to be searched, with
 * the values that need the least fuel.
 *
 * A lap can be balanced with almost any factor of stored energy: a store that is filled and emptied
 * many times in a lap ends it as the last braking leaves it, whatever its energy counted for before. So
 * the balance alone would not tell which value is right, and every value is driven to balance and judged
 * by its fuel. Values whose laps do not balance pay dearly for what they took from the store and get
 * nothing for what they left in it; and so do those which leave some of the trace undriven.
 *
 * The fuel is no smooth function of the values: the next factor may decide otherwise somewhere and need
 * a few thousandths more or less. Nor do the numbers act one by one: what is right for one hangs on the
 * others. So points spread evenly over all numbers together are looked at, then ever closer ones around
 * the best few. Another set may be a little better.
 *
 * @param car with the store's mass and auxiliaries
 * @param store
 * @param demand of this car and trace
 * @param makeStrategy
 * @returns the run of the best values
 */
export function runTuned(
  car: Car,
  store: Store,
  demand: Demand,
  makeStrategy: StrategyMaker,
): TunedRun {
  const { search } = makeStrategy;
  if (search === undefined) return runBalanced(car, store, demand, makeStrategy);
  const { best, tried } = leastOf(search.numbers, lapsFor(demand), {
    drive: (values) => {
      const balanced = runBalanced(car, store, demand, () => search.make(values));
      return { values, balanced, cost: costOf(car, balanced) };
    },
    promise: (values, { balanced }) => {
      const from = copyState(initialState(car, store), balanced.run.start.rotorSpeed);
      return promiseOf(car, run(car, store, demand, search.make(values), from));
    },
  });
  const numbers = search.numbers.map(({ name, rungs }, k) => ({
    name,
    value: best.values[k]!,
    from: rungs[0]!,
    to: rungs.at(-1)!,
  }));
  return { ...best.balanced, found: { numbers, tried } };
}

/** A set of values, and how its laps turned out. */
interface Try {
  readonly values: readonly number[];
  readonly balanced: BalancedRun;
  readonly cost: number;
}

/** How a set is tried. */
interface Ways {
  /** Drives it to balance. */
  drive(values: readonly number[]): Try;
  /** Fuel to expect of it, from one lap that starts as that of a try did [J]. */
  promise(values: readonly number[], like: Try): number;
}

function lapsFor({ count }: Demand): number {
  return Math.min(Math.max(MOST_INTERVALS / count, FEWEST_LAPS), MOST_LAPS);
}

/** Looks for the set that costs least; of those that cost the same the first, from the lowest of all. */
function leastOf(
  numbers: readonly SearchedNumber[],
  mostLaps: number,
  { drive, promise }: Ways,
): { readonly best: Try; readonly tried: number } {
  const tries: { readonly at: readonly number[]; readonly tried: Try }[] = [];
  let laps = 0;
  const take = (at: readonly number[], values: readonly number[]): void => {
    const tried = drive(values);
    laps += tried.balanced.balance.laps;
    tries.push({ at, tried });
    tries.sort((a, b) => a.tried.cost - b.tried.cost);
  };
  const consider = (at: readonly number[]): void => {
    const values = numbers.map(({ rungs }, k) => valueAt(rungs, at[k]!));
    const best = tries[0]!.tried;
    laps++;
    if (promise(values, best) < best.cost + PROMISE * Math.abs(best.cost)) take(at, values);
  };
  take(
    numbers.map(() => 0),
    numbers.map(({ rungs }) => rungs[0]!),
  );
  take(
    numbers.map(({ rungs, start }) => rungs.indexOf(start) / (rungs.length - 1)),
    numbers.map(({ start }) => start),
  );
  let index = 0;
  const point = () => {
    index++;
    return numbers.map((_, k) => radicalInverse(index, BASES[k]!));
  };
  while (laps < WIDE_SHARE * mostLaps) consider(point());
  for (const [i, reach] of REACHES.entries()) {
    const until = WIDE_SHARE + ((1 - WIDE_SHARE) * (i + 1)) / REACHES.length;
    while (laps < until * mostLaps) {
      for (const { at } of tries.slice(0, CENTRES)) {
        const offset = point();
        consider(at.map((x, k) => Math.min(Math.max(x + reach * (2 * offset[k]! - 1), 0), 1)));
      }
    }
  }
  return { best: tries[0]!.tried, tried: tries.length };
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

/** Fuel to expect of a set after a single lap: what is stored counts at the engine's marginal fuel [J]. */
function promiseOf(car: Car, lap: Run): number {
  const { shortfall, storeChange } = lap.ledger;
  return totalFuel(car, lap) + MISSING_PRICE * shortfall - marginalFuel(car, lap) * storeChange;
}

/**
 * Fuel of a balanced lap; more where work is missing, or where it took from the store and no line
 * through laps can say what that counts for [J]. On a closed trace no line can: laps that never settle
 * alternate between cheap ones, which take, and dear ones, which fill up. The one nearest to balance is
 * a lucky one, and a search among many sets would find the luckiest: it was seen 5 % below the mean of
 * the laps. So there only what has settled is cheap.
 */
function costOf(car: Car, { run: lap, fuel, balance }: BalancedRun): number {
  const { shortfall, storeChange } = lap.ledger;
  const missing = MISSING_PRICE * shortfall;
  if (balance.method === 'repetition' || balance.reason === 'unsettled') {
    return totalFuel(car, lap) + missing + UNSETTLED_PRICE * Math.abs(storeChange);
  }
  if (balance.slope !== undefined && balance.bracketed) return fuel + missing;
  return totalFuel(car, lap) + missing + MISSING_PRICE * Math.max(0, -storeChange);
}
