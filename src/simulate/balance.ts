import { isClosed } from '../cycle/closed.ts';
import { rotorEnergy, rotorSpeed } from '../physics/rotor.ts';
import type { Store } from '../physics/store.ts';
import type { StrategyMaker } from '../strategy/contract.ts';
import type { Car } from './car.ts';
import type { Demand } from './demand.ts';
import { type Run, run } from './run.ts';
import { copyState, initialState, type State } from './state.ts';
import { marginalFuel, totalFuel } from './total-fuel.ts';

/** A lap counts as balanced when the store ends this close to its start, over the lap's fuel energy. */
export const BALANCE_LIMIT = 1e-3;

/**
 * Laps are cheap: repetition goes on until the store has settled this well, if it ever does. Stored
 * energy that wanders from lap to lap comes this near to its start by chance once in some 10 000 laps.
 */
const BALANCE_GOAL = 1e-7;

/**
 * Laps after which a store that has not settled is taken never to settle. Where it wanders, the mean of
 * fewer laps is off by more.
 */
const MOST_LAPS = 40;

/** Of laps that have not settled so many may still lead away from the start energy of the car file. */
const LEADING_LAPS = 4;

/** Start energies of the slope runs, as shares of the working range. */
const SLOPE_STARTS = [0, 0.25, 0.5, 0.75, 1];

/** Changes of stored energy that differ by less than this, over the largest, are all the same. */
const SAME_CHANGE = 1e-3;

/** The same over the fuel energy: below it there is nothing but rounding. */
const NO_CHANGE = 1e-9;

/** A line this flat [J of fuel a joule] is level but for rounding: nobody uses what is stored. */
export const FLAT = 1e-6;

/** How the charge balance was reached. */
export type Balance =
  | {
      readonly method: 'repetition';
      /** Laps driven */
      readonly laps: number;
      /** Change of stored energy in the lap that counts, over its fuel energy */
      readonly residual: number;
    }
  | {
      readonly method: 'slope';
      /**
       * The trace ends at another speed or altitude than it began; or laps on end take turns to gain and
       * to lose stored energy, and their mean counts; or they never settled in another way.
       */
      readonly reason: 'open-trace' | 'alternating' | 'unsettled';
      readonly laps: number;
      /** The same, of the lap that was corrected */
      readonly residual: number;
      /**
       * Fuel energy for each joule more in the store at the end, in a mean that of the engine; undefined
       * where all laps changed the stored energy alike, so that nothing could be corrected
       */
      readonly slope: number | undefined;
      /** Correction that was added to the fuel, over the fuel */
      readonly correction: number;
      /** Whether laps with a gain and laps with a loss of stored energy both went into the line */
      readonly bracketed: boolean;
    };

/** A lap whose fuel counts, and that fuel with the store as full at the end as at the start. */
export interface BalancedRun {
  readonly run: Run;
  /** Fuel energy, balanced [J] */
  readonly fuel: number;
  readonly balance: Balance;
}

/**
 * Drives a trace until the store ends as full as it began. Each lap starts with the stored energy
 * of the last end. The engine starts each lap as the car file says, since its warmth is part of the
 * test and no energy that could be borrowed, and the battery owes nothing, as in the runs without a
 * store: what it is owed at the end is charged as fuel lap by lap.
 *
 * Where the store falls into a limit cycle, in which laps that gain and laps that lose energy take
 * turns, no lap tells what the trace takes in the long run: the fuel is the mean of one round of laps,
 * after which the store is as full as before it, or of the later laps where no round ends. The lap
 * nearest to balance stands for it, and what it differs by is its correction.
 *
 * Where repetition does not settle otherwise, and where the trace is no lap because it ends faster or
 * higher than it began, the lap nearest to balance is corrected with the slope of fuel over
 * stored-energy change, a least-squares line through laps from several start energies, as the hybrid
 * test procedures do (UN GTR 15 annex 8, SAE J1711). One of them starts where a line through the
 * others has no change, so that little is left to correct.
 */
export function runBalanced(
  car: Car,
  store: Store,
  demand: Demand,
  makeStrategy: StrategyMaker,
): BalancedRun {
  const drive = (from: Readonly<State>) => run(car, store, demand, makeStrategy(), from);
  const laps: Run[] = [];
  if (isClosed(demand.trace)) {
    let state = initialState(car, store);
    let round: readonly Run[] | undefined;
    do {
      const lap = drive(state);
      laps.push(lap);
      state = copyState(state, lap.end.rotorSpeed);
      round = lastRound(car, laps);
    } while (laps.length < MOST_LAPS && round === undefined);
    const lasting = round ?? laps.slice(LEADING_LAPS);
    if (isBracketed(lasting)) return meanOf(car, lasting, laps.length, round !== undefined);
    const settled = nearest(laps);
    if (imbalance(car, settled) < BALANCE_LIMIT) {
      const fuel = totalFuel(car, settled);
      const residual = residualOf(settled, fuel);
      return { run: settled, fuel, balance: { method: 'repetition', laps: laps.length, residual } };
    }
  }
  const reason = laps.length === 0 ? 'open-trace' : 'unsettled';
  const driveFrom = (share: number): Run => {
    const lap = drive(copyState(initialState(car, store), speedAtShare(store, share)));
    laps.push(lap);
    return lap;
  };
  const changes = SLOPE_STARTS.map((share) => driveFrom(share).ledger.storeChange);
  const between = crossing(SLOPE_STARTS, changes);
  if (between !== undefined) driveFrom(between);
  return corrected(car, laps, reason);
}

/**
 * The fewest last laps after which the store is as full as before them, to BALANCE_GOAL of the fuel
 * energy of the last lap; undefined where there are none.
 */
function lastRound(car: Car, laps: readonly Run[]): readonly Run[] | undefined {
  const close = BALANCE_GOAL * Math.abs(totalFuel(car, laps.at(-1)!));
  let change = 0;
  for (let i = laps.length - 1; i >= 0; i--) {
    change += laps[i]!.ledger.storeChange;
    if (Math.abs(change) <= close) return laps.slice(i);
  }
  return undefined;
}

/** Whether some laps gained and some lost stored energy. */
function isBracketed(laps: readonly Run[]): boolean {
  const changes = laps.map(({ ledger }) => ledger.storeChange);
  return Math.min(...changes) < 0 && Math.max(...changes) > 0;
}

/**
 * The mean of laps that take turns. Where no round ended, what they gained together counts at the
 * engine's own rate.
 */
function meanOf(car: Car, laps: readonly Run[], driven: number, isRound: boolean): BalancedRun {
  const best = nearest(laps);
  const own = totalFuel(car, best);
  const slope = marginalFuel(car, best);
  const gained = isRound ? 0 : mean(laps.map(({ ledger }) => ledger.storeChange));
  const added = mean(laps.map((lap) => totalFuel(car, lap) - own)) - slope * gained;
  return {
    run: best,
    fuel: own + added,
    balance: {
      method: 'slope',
      reason: 'alternating',
      laps: driven,
      residual: residualOf(best, own),
      slope,
      correction: added === 0 ? 0 : added / own,
      bracketed: true,
    },
  };
}

/** Where a line from point to point crosses zero for the first time; undefined where it never does. */
function crossing(x: readonly number[], y: readonly number[]): number | undefined {
  for (let i = 0; i + 1 < x.length; i++) {
    const from = y[i]!;
    const to = y[i + 1]!;
    if (from * to < 0) return x[i]! + ((x[i + 1]! - x[i]!) * from) / (from - to);
  }
  return undefined;
}

/** The lap nearest to balance, corrected along the line through all laps. */
function corrected(
  car: Car,
  laps: readonly Run[],
  reason: 'open-trace' | 'unsettled',
): BalancedRun {
  const best = nearest(laps);
  const fuel = totalFuel(car, best);
  const changes = laps.map((lap) => lap.ledger.storeChange);
  const low = Math.min(...changes);
  const high = Math.max(...changes);
  const isLine =
    high - low > Math.max(SAME_CHANGE * Math.max(-low, high), NO_CHANGE * Math.abs(fuel));
  const slope = isLine ? priceOfStored(car, best, laps) : undefined;
  const correction = -(slope ?? 0) * best.ledger.storeChange;
  return {
    run: best,
    fuel: fuel + correction,
    balance: {
      method: 'slope',
      reason,
      laps: laps.length,
      residual: residualOf(best, fuel),
      slope,
      correction: correction === 0 ? 0 : correction / fuel,
      bracketed: isBracketed(laps),
    },
  };
}

/**
 * Fuel for each joule more in the store at the end: the slope of the line through all laps. Where
 * that falls, as if a fuller store had cost less, the laps differ by more than their stored energy
 * and the line is no price; the engine's own marginal fuel takes its place.
 */
function priceOfStored(car: Car, best: Run, laps: readonly Run[]): number {
  const line = leastSquaresSlope(
    laps.map((lap) => lap.ledger.storeChange),
    laps.map((lap) => totalFuel(car, lap)),
  );
  return line > -FLAT ? line : marginalFuel(car, best);
}

/** Change of stored energy over the fuel energy of a lap; 0 without a change, even without fuel. */
function residualOf({ ledger }: Run, fuel: number): number {
  return ledger.storeChange === 0 ? 0 : ledger.storeChange / fuel;
}

function imbalance(car: Car, lap: Run): number {
  return Math.abs(residualOf(lap, totalFuel(car, lap)));
}

/** The lap whose store ends nearest to its start; in joules, since a lap may burn no fuel at all. */
function nearest(laps: readonly Run[]): Run {
  const change = ({ ledger }: Run) => Math.abs(ledger.storeChange);
  return laps.reduce((a, b) => (change(b) < change(a) ? b : a));
}

function speedAtShare(store: Store, share: number): number {
  const { rotor } = store;
  const low = rotorEnergy(rotor, rotor.minSpeed);
  return rotorSpeed(rotor, low + share * (rotorEnergy(rotor, rotor.maxSpeed) - low));
}

function mean(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0) / values.length;
}

/** Slope of the least-squares line of y over x; x must not all be equal. */
export function leastSquaresSlope(x: readonly number[], y: readonly number[]): number {
  const meanX = mean(x);
  const meanY = mean(y);
  let xy = 0;
  let xx = 0;
  for (let i = 0; i < x.length; i++) {
    xy += (x[i]! - meanX) * (y[i]! - meanY);
    xx += (x[i]! - meanX) ** 2;
  }
  return xy / xx;
}
