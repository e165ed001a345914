import { newWant, type Strategy, type StrategyMaker, type View } from './contract.ts';
import { Offers } from './least-cost-offers.ts';

/** What stored energy and engine starts count for. */
export interface LeastCostParameters {
  /** Fuel that a joule in the store counts for, or that it is to be searched for [J/J] */
  readonly factor: number | 'search';
  /** How the factor follows the stored energy; left out, it stays as it is */
  readonly feedback?: {
    /** Share of the working range at which the factor stands as it is */
    readonly target: number;
    /** How much the factor rises from a full store to an empty one [J/J] */
    readonly gain: number;
  };
  /** Price of an engine start beyond the fuel and the battery's debt that it takes [J of fuel] */
  readonly startPrice: number;
  /** Time in which an engine that starts has to earn its start [s] */
  readonly startHorizon: number;
  /** Time in which an engine that stops has to earn its next start [s] */
  readonly stopHorizon: number;
}

/**
 * Factors that a search looks at. Charging through engine and transmission takes 2 to 5 J of fuel for
 * each joule; where what braking brings is enough, all factors below that do the same.
 */
const SEARCHED = { from: 1.5, to: 6 } as const;

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
 * search stands for. One that falls as the store fills needs no knowledge of the road.
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
  const { factor } = parameters;
  if (factor !== 'search') return () => withFactor(name, parameters, factor);
  const make = (value: number) => withFactor(name, parameters, value);
  const middle = Math.sqrt(SEARCHED.from * SEARCHED.to);
  return Object.assign(() => make(middle), { search: { ...SEARCHED, make } });
}

function withFactor(
  name: string,
  { feedback, startPrice, startHorizon, stopHorizon }: LeastCostParameters,
  factor: number,
): Strategy {
  const offers = new Offers();
  const offer = newWant();

  const factorNow = (see: Readonly<View>): number =>
    feedback === undefined
      ? factor
      : Math.max(0, factor + feedback.gain * (feedback.target - see.storeShare));

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
