import { type Rotor, rotorEnergy } from '../physics/rotor.ts';
import type { State } from '../simulate/state.ts';
import { ClosingLap } from './closing.ts';
import type { RoadStages } from './road-stages.ts';
import type { Arrival, Search } from './way.ts';

/** Cost of each joule that the store ends below its start: above any price of stored energy. */
export const DEFICIT_PRICE = 5;

/**
 * Laps that are closed after a search: so many of those that end below their start, and of those above it
 * once with what is left in the store counted and once without, since there may be no use for it.
 */
const TO_CLOSE = 3;

/** A lap that ends at least as full as it began. */
export interface Closed {
  readonly lap: ClosingLap;
  /** Decisions of the search that stand behind it, but for what was moved to close it */
  readonly decisions: Uint8Array;
}

/**
 * The cheapest lap of a search's most promising arrivals, each driven so that it closes. Several are
 * tried, since what closing one costs shows only when it is done: a store that is emptied a little more
 * may no longer carry the car to a stop.
 * @param stages
 * @param rotor
 * @param start of the search
 * @param price fuel for each joule that ends in the store beyond what began there
 * @param search
 * @param arrivals of the search
 * @returns undefined where none can be closed
 */
export function cheapestClosed(
  stages: RoadStages,
  rotor: Rotor,
  start: Readonly<State>,
  price: number,
  search: Search,
  arrivals: readonly Arrival[],
): Closed | undefined {
  const began = rotorEnergy(rotor, start.rotorSpeed);
  const above = arrivals.filter(({ energy }) => energy >= began);
  const below = arrivals.filter(({ energy }) => energy < began);
  const chosen = new Set([
    ...cheapest(above, ({ cost }) => cost),
    ...cheapest(above, ({ cost, energy }) => cost - price * (energy - began)),
    ...cheapest(below, ({ cost, energy }) => cost + DEFICIT_PRICE * (began - energy)),
  ]);
  let best: Closed | undefined;
  for (const { way } of chosen) {
    const decisions = search.decisions(way);
    const lap = new ClosingLap(stages, rotor, start, decisions);
    if (lap.close() && (best === undefined || lap.cost < best.lap.cost)) best = { lap, decisions };
  }
  return best;
}

function cheapest(arrivals: readonly Arrival[], cost: (arrival: Arrival) => number) {
  return arrivals.toSorted((a, b) => cost(a) - cost(b)).slice(0, TO_CLOSE);
}
