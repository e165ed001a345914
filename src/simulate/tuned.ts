import { isClosed } from '../cycle/closed.ts';
import type { Store } from '../physics/store.ts';
import type { Strategy, StrategyMaker } from '../strategy/contract.ts';
import { type BalancedRun, runBalanced } from './balance.ts';
import type { Car } from './car.ts';
import type { Demand } from './demand.ts';
import { type Attempt, searchNumbers, type Tried } from './number-search.ts';
import { type Run, run } from './run.ts';
import { copyState, initialState } from './state.ts';
import { marginalFuel, totalFuel } from './total-fuel.ts';

/**
 * Work of a search: so many intervals, whatever the trace, but no fewer and no more laps than these. The
 * fewer the intervals, the more a single decision counts, and the more sets have to be looked at.
 */
const MOST_INTERVALS = 750e3;
const FEWEST_LAPS = 150;
const MOST_LAPS = 2000;

/** A set is given up once a lap of it promises more than this above the least fuel yet. */
const PROMISE = 0.0075;

/** Laps in which a set has to settle: most that ever do need two or three. */
const LAPS_TO_SETTLE = 7;

/** Stored energy that a lap may gain or lose and count as settled while sets are compared, over its fuel. */
const SETTLED = 1e-5;

/**
 * Fuel that each joule counts for which an unbalanced lap took from the store, or which the wheels
 * lacked. Several times what any joule takes, so that no fuel is saved by not driving [J/J].
 */
const MISSING_PRICE = 20;

/** The same for each joule by which a set failed to settle [J/J]. */
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
 * the balance alone would not tell which value is right, and every value is driven until it has settled
 * and judged by its fuel. Values that leave some of the trace undriven pay dearly for it.
 *
 * The fuel is no smooth function of the values: the next factor may decide otherwise somewhere and need
 * a few thousandths more or less. Another set may be a little better.
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
  const tried = searchNumbers(search.numbers, lapsFor(demand), (values, best) =>
    attempt(car, store, demand, () => search.make(values), best),
  );
  const { values } = tried[0]!;
  const numbers = search.numbers.map(({ name, rungs }, k) => ({
    name,
    value: values[k]!,
    from: rungs[0]!,
    to: rungs.at(-1)!,
  }));
  const balanced = runBalanced(car, store, demand, () => search.make(values));
  return { ...balanced, found: { numbers, tried: tried.length } };
}

function lapsFor({ count }: Demand): number {
  return Math.min(Math.max(MOST_INTERVALS / count, FEWEST_LAPS), MOST_LAPS);
}

/**
 * Tries a set: drives it lap by lap from where the best one begins, until it has settled, or promises
 * too little. What never settles in laps alternates between cheap ones, which take from the store, and
 * dear ones, which fill it up. The one nearest to balance is a lucky one, and a search among many sets
 * would find the luckiest: it was seen 5 % below the mean of the laps. So a set that would be the best
 * is driven to balance as any other strategy is, and counts for what that says. A trace that is no lap
 * cannot settle; there, one lap says whether to drive the set to balance.
 */
function attempt(
  car: Car,
  store: Store,
  demand: Demand,
  makeStrategy: StrategyMaker,
  best: Tried | undefined,
): Attempt {
  const driven = (laps: number): Attempt => {
    const balanced = runBalanced(car, store, demand, makeStrategy);
    const { rotorSpeed } = balanced.run.start;
    const result = { cost: costOf(car, balanced), rotorSpeed };
    return { laps: laps + balanced.balance.laps, result };
  };
  if (best === undefined) return driven(0);
  const closed = isClosed(demand.trace);
  const initial = initialState(car, store);
  let { rotorSpeed } = best;
  for (let laps = 1; laps <= LAPS_TO_SETTLE; laps++) {
    const lap = run(car, store, demand, makeStrategy(), copyState(initial, rotorSpeed));
    if (closed && Math.abs(lap.ledger.storeChange) <= SETTLED * Math.abs(totalFuel(car, lap))) {
      const cost = lapCost(car, lap);
      return cost < best.cost ? driven(laps) : { laps, result: { cost, rotorSpeed } };
    }
    if (promiseOf(car, lap) > best.cost + PROMISE * Math.abs(best.cost)) return { laps };
    if (!closed) return driven(laps);
    rotorSpeed = lap.end.rotorSpeed;
  }
  return { laps: LAPS_TO_SETTLE };
}

/** Fuel to expect of a set after a single lap: what is stored counts at the engine's marginal fuel [J]. */
function promiseOf(car: Car, lap: Run): number {
  return lapCost(car, lap) - marginalFuel(car, lap) * lap.ledger.storeChange;
}

/** Fuel of a lap, more where work is missing [J]. */
function lapCost(car: Car, lap: Run): number {
  return totalFuel(car, lap) + MISSING_PRICE * lap.ledger.shortfall;
}

/**
 * Fuel of a balanced run; more where work is missing, where the laps never settled, and where they took
 * from the store and no line through laps can say what that counts for [J].
 */
function costOf(car: Car, { run: lap, fuel, balance }: BalancedRun): number {
  const { shortfall, storeChange } = lap.ledger;
  if (balance.method === 'slope' && balance.reason === 'unsettled') {
    return lapCost(car, lap) + UNSETTLED_PRICE * Math.abs(storeChange);
  }
  if (balance.method === 'slope' && !(balance.slope !== undefined && balance.bracketed)) {
    return lapCost(car, lap) + MISSING_PRICE * Math.max(0, -storeChange);
  }
  return fuel + MISSING_PRICE * shortfall;
}
