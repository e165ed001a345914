import {
  newWant,
  type SearchedNumber,
  type Strategy,
  type StrategyMaker,
  type View,
} from './contract.ts';
import { Offers } from './least-cost-offers.ts';

/** A number, or that it is to be searched for each case. */
type Searchable = number | 'search';

/** What stored energy and engine starts count for. */
export interface LeastCostParameters {
  /** Fuel that a joule in the store counts for, or that it is to be searched for [J/J] */
  readonly factor: Searchable;
  /** How the factor follows the stored energy; left out, it stays as it is */
  readonly feedback?: {
    /** Share of the working range at which the factor stands as it is */
    readonly target: number;
    /** How much the factor rises from a full store to an empty one [J/J] */
    readonly gain: Searchable;
  };
  /** Price of an engine start beyond the fuel and the battery's debt that it takes [J of fuel] */
  readonly startPrice: Searchable;
  /** Time in which an engine that starts has to earn its start [s] */
  readonly startHorizon: number;
  /** Time in which an engine that stops has to earn its next start [s] */
  readonly stopHorizon: number;
}

/**
 * Factors that a search looks at. Charging through engine and transmission takes 2 to 5 J of fuel for
 * each joule; where what braking brings is enough, all factors below that do the same. Its steps are
 * small where most of the best factors of the shipped cars lie, as was seen; wide towards both ends.
 */
const FACTORS = { rungs: [1.5, 2.1, 2.3, 2.5, 2.7, 2.9, 3.1, 3.4, 3.8, 6], start: 2.7 } as const;

/**
 * How much more a joule may count for in an empty store than in a full one, from a constant up [J/J]. It
 * acts together with the factor: what a half-empty store is worth hangs on both.
 */
const GAINS = { rungs: [0, 0.25, 0.5, 1, 2, 4], start: 0.5 } as const;

/**
 * Prices of a start beyond what it takes. How long an engine rests hangs on the cycle: on the highway it
 * restarts before it has earned its start within the usual horizon, and the last price keeps it on. Any
 * that keeps it on does the same, from some 30 kJ up for a car, so most rungs lie below that [J].
 */
const START_PRICES = {
  rungs: [0, 5e3, 10e3, 15e3, 20e3, 25e3, 30e3, 40e3, 1e6],
  start: 0,
} as const;

/** Work that the wheels lack costs more than any fuel [J/J]. */
const SHORTFALL_PRICE = 1000;

/**
 * Makes strategies of least equivalent cost. In every interval all that could be done is weighed and
 * the cheapest is taken:
 *
 *   fuel − factor · rise of the stored energy + price · rise of the battery's debt + start
 *
 * What each would lead to comes from the simulator (`View.outcome`). The factor says what energy in
 * the store is worth; a constant one is right where it is known what the drive brings, which is what a
 * search stands for, and where neither the store's limits nor its drag bear on it. One that falls as the
 * store fills allows for both, and needs no knowledge of the road.
 *
 * What a start costs would never be worth it within a single interval, so it is spread: at a start, and
 * at a stop, which leads to one, only the share of it counts that the interval has of a horizon. That
 * keeps the engine from chattering, whatever the length of the intervals. An engine that could rest for
 * the whole of the stop horizon and still not save its next start does not stop at all.
 *
 * Known as equivalent consumption minimisation, with feedback of the stored energy: Paganelli and
 * others around 2001, Serrao, Onori and Rizzoni around 2010 (from memory, not verified).
 *
 * @param name for results and errors
 * @param parameters prices
 */
export function leastCost(name: string, parameters: LeastCostParameters): StrategyMaker {
  const { factor, feedback, startPrice } = parameters;
  const numbers: SearchedNumber[] = [
    ...(factor === 'search' ? [{ name: 'factor', ...FACTORS }] : []),
    ...(feedback?.gain === 'search' ? [{ name: 'gain', ...GAINS }] : []),
    ...(startPrice === 'search' ? [{ name: 'startPrice', ...START_PRICES }] : []),
  ];
  const make = (values: readonly number[]) => {
    const number = (given: Searchable, own: string) =>
      given === 'search' ? values[numbers.findIndex((one) => one.name === own)]! : given;
    return priced(name, {
      ...parameters,
      factor: number(factor, 'factor'),
      startPrice: number(startPrice, 'startPrice'),
      target: feedback?.target ?? 0,
      gain: feedback === undefined ? 0 : number(feedback.gain, 'gain'),
    });
  };
  const maker = () => make(numbers.map(({ start }) => start));
  return numbers.length === 0 ? maker : Object.assign(maker, { search: { numbers, make } });
}

/** Parameters of which nothing is left to be searched. */
interface Prices {
  readonly factor: number;
  readonly target: number;
  readonly gain: number;
  readonly startPrice: number;
  readonly startHorizon: number;
  readonly stopHorizon: number;
}

function priced(
  name: string,
  { factor, target, gain, startPrice, startHorizon, stopHorizon }: Prices,
): Strategy {
  const offers = new Offers();
  const offer = newWant();

  const factorNow = (see: Readonly<View>): number =>
    gain === 0 ? factor : Math.max(0, factor + gain * (target - see.storeShare));

  return {
    name,
    decide(see, want) {
      const worth = factorNow(see);
      const taken = see.startFuel + see.debtPrice * see.startDebt;
      const price = taken + startPrice;
      const startCost = price * Math.min(see.duration / startHorizon, 1) - taken;
      const stopCost = see.engineOn ? price * Math.min(see.duration / stopHorizon, 1) : 0;
      let least = Number.POSITIVE_INFINITY;
      offers.make(see);
      for (let i = 0; i < offers.count; i++) {
        offers.read(i, offer);
        const outcome = see.outcome(offer);
        const cost =
          outcome.fuel -
          worth * outcome.storeChange +
          see.debtPrice * outcome.debtChange +
          SHORTFALL_PRICE * outcome.shortfall +
          (outcome.engineStarted ? startCost : 0) +
          (outcome.engineOn ? 0 : stopCost);
        if (cost < least) {
          least = cost;
          offers.read(i, want);
        }
      }
    },
  };
}
