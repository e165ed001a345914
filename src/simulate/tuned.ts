import type { Store } from '../physics/store.ts';
import type { NumberSearch, Strategy, StrategyMaker } from '../strategy/contract.ts';
import { type BalancedRun, runBalanced } from './balance.ts';
import type { Car } from './car.ts';
import type { Demand } from './demand.ts';
import { totalFuel } from './total-fuel.ts';

/** Steps of equal ratio in which the whole range is looked through first. */
const LADDER_STEPS = 28;

/** How often the gaps beside the best value are then halved: to less than 0.2 % from 1.5 to 6. */
const HALVINGS = 5;

/** Fuel that each joule counts for which an unbalanced lap took from the store [J/J]. */
const MISSING_PRICE = 20;

/** A number that was searched for a case. */
export interface FoundNumber {
  readonly value: number;
  /** Range in which it was searched */
  readonly from: number;
  readonly to: number;
  /** Values that were driven to balance */
  readonly tried: number;
}

/** A balanced run, with the number that was searched for it where its strategy has one. */
export interface TunedRun extends BalancedRun {
  readonly found?: FoundNumber;
}

/** A strategy with the number that was found for a case; as it stands where none was searched. */
export function tunedStrategy(
  makeStrategy: StrategyMaker,
  found: FoundNumber | undefined,
): Strategy {
  const { search } = makeStrategy;
  return found === undefined || search === undefined ? makeStrategy() : search.make(found.value);
}

/**
 * Drives a trace to balance, as `runBalanced` does; where the strategy has a number to be searched,
 * with the value that needs the least fuel.
 *
 * A lap can be balanced with almost any value: a store that is filled and emptied many times in a lap
 * ends it as the last braking leaves it, whatever its energy counted for before. So the balance alone
 * would not tell which value is right, and every value is driven to balance and judged by its fuel. A
 * value whose laps do not balance pays dearly for what they took from the store and gets nothing for
 * what they left in it.
 *
 * The fuel is no smooth function of the value, nor one with a single lowest point: the range is looked
 * through in even steps, then more and more finely beside the best. Another value in between may be a
 * little better.
 *
 * @param car with the store's mass and auxiliaries
 * @param store
 * @param demand of this car and trace
 * @param makeStrategy
 * @returns the run of the best value
 */
export function runTuned(
  car: Car,
  store: Store,
  demand: Demand,
  makeStrategy: StrategyMaker,
): TunedRun {
  const { search } = makeStrategy;
  if (search === undefined) return runBalanced(car, store, demand, makeStrategy);
  const tries: Try[] = [];
  const drive = (value: number) => {
    const balanced = runBalanced(car, store, demand, () => search.make(value));
    tries.push({ value, balanced, cost: costOf(car, balanced) });
  };
  for (const value of ladder(search)) drive(value);
  for (let i = 0; i < HALVINGS; i++) {
    tries.sort((a, b) => a.value - b.value);
    const at = tries.indexOf(cheapest(tries));
    const beside = [tries[at - 1], tries[at + 1]].flatMap((other) => other?.value ?? []);
    const { value } = tries[at]!;
    for (const other of beside) drive(0.5 * (value + other));
  }
  const { value, balanced } = cheapest(tries);
  return { ...balanced, found: { value, from: search.from, to: search.to, tried: tries.length } };
}

/** A value, and how its laps turned out. */
interface Try {
  readonly value: number;
  readonly balanced: BalancedRun;
  readonly cost: number;
}

function ladder({ from, to }: NumberSearch): number[] {
  const rungs = Array.from(
    { length: LADDER_STEPS },
    (_, i) => from * (to / from) ** (i / LADDER_STEPS),
  );
  return [...rungs, to];
}

/** The lowest of the values that cost least. */
function cheapest(tries: readonly Try[]): Try {
  return tries.reduce((a, b) =>
    b.cost < a.cost || (b.cost === a.cost && b.value < a.value) ? b : a,
  );
}

/** Fuel of a balanced lap; more where nothing shows what the imbalance is worth [J]. */
function costOf(car: Car, { run, fuel, balance }: BalancedRun): number {
  const isBalanced =
    balance.method === 'repetition' || (balance.slope !== undefined && balance.bracketed);
  if (isBalanced) return fuel;
  return totalFuel(car, run) + MISSING_PRICE * Math.max(0, -run.ledger.storeChange);
}
