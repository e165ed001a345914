import type { Store } from '../physics/store.ts';
import type { SearchedNumber, Strategy, StrategyMaker } from '../strategy/contract.ts';
import { type BalancedRun, runBalanced } from './balance.ts';
import type { Car } from './car.ts';
import type { Demand } from './demand.ts';
import { totalFuel } from './total-fuel.ts';

/** Rounds through all numbers, two rungs up and down from the best of each, unless one brings nothing. */
const MOST_ROUNDS = 4;
const ROUND_REACH = 2;

/** How often the gaps beside the best value are then halved: a factor is found to less than 0.2 %. */
const HALVINGS = 5;

/**
 * Fuel that each joule counts for which an unbalanced lap took from the store, or which the wheels
 * lacked. Several times what any joule takes, so that no fuel is saved by not driving [J/J].
 */
const MISSING_PRICE = 20;

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
 * The fuel is no smooth function of the values, nor one with a single lowest point: one number after
 * the other is looked through in even steps, then all of them near the best set, and more and more
 * finely. Another set may be a little better.
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
  const { best, tried } = leastOf(search.numbers, (values) => {
    const balanced = runBalanced(car, store, demand, () => search.make(values));
    return { values, balanced, cost: costOf(car, balanced) };
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

/** Looks for the set that costs least; of those that cost the same the first, which is the lowest. */
function leastOf(
  numbers: readonly SearchedNumber[],
  drive: (values: readonly number[]) => Try,
): { readonly best: Try; readonly tried: number } {
  const meshes = numbers.map(({ rungs }) => [...rungs]);
  const known = new Set<string>();
  let best: Try | undefined;
  const go = (k: number, mesh: readonly number[]): void => {
    const from = best?.values ?? numbers.map(({ start }) => start);
    for (const value of mesh) {
      const values = from.with(k, value);
      const key = values.join();
      if (known.has(key)) continue;
      known.add(key);
      const tried = drive(values);
      if (best === undefined || tried.cost < best.cost) best = tried;
    }
  };
  const beside = (k: number, reach: number): readonly number[] => {
    const at = meshes[k]!.indexOf(best!.values[k]!);
    return meshes[k]!.slice(Math.max(0, at - reach), at + reach + 1);
  };
  for (const [k, mesh] of meshes.entries()) go(k, mesh);
  for (let round = 0, last: Try | undefined; round < MOST_ROUNDS && last !== best; round++) {
    last = best;
    for (const k of meshes.keys()) go(k, beside(k, ROUND_REACH));
  }
  for (let i = 0; i < HALVINGS; i++) {
    for (const [k, mesh] of meshes.entries()) {
      const [low, ...others] = beside(k, 1);
      const middles = others.map((value, j) => 0.5 * (value + [low!, ...others][j]!));
      mesh.push(...middles);
      mesh.sort((a, b) => a - b);
      go(k, middles);
    }
  }
  return { best: best!, tried: known.size };
}

/** Fuel of a balanced lap; more where it took from the store, uncorrected, or where work is missing [J]. */
function costOf(car: Car, { run, fuel, balance }: BalancedRun): number {
  const { shortfall, storeChange } = run.ledger;
  const isCorrected =
    balance.method === 'slope' && balance.slope !== undefined && balance.bracketed;
  if (isCorrected) return fuel + MISSING_PRICE * shortfall;
  return totalFuel(car, run) + MISSING_PRICE * (shortfall + Math.max(0, -storeChange));
}
