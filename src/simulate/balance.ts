import { rotorEnergy, rotorSpeed } from '../physics/rotor.ts';
import type { Store } from '../physics/store.ts';
import type { StrategyMaker } from '../strategy/contract.ts';
import type { Car } from './car.ts';
import type { Demand } from './demand.ts';
import { type Run, run } from './run.ts';
import { copyState, initialState, type State } from './state.ts';
import { totalFuel } from './total-fuel.ts';

/** A lap counts as balanced when the store ends this close to its start, over the lap's fuel energy. */
export const BALANCE_LIMIT = 1e-3;

/** Laps are cheap: repetition goes on until the store has settled this well, if it ever does. */
const BALANCE_GOAL = 1e-5;

/** Laps after which a store that has not settled is taken never to settle. */
const MOST_LAPS = 12;

/** Start energies of the slope runs, as shares of the working range. */
const SLOPE_STARTS = [0, 0.25, 0.5, 0.75, 1];

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
      readonly laps: number;
      /** The same, of the lap that was corrected */
      readonly residual: number;
      /** Fuel energy for each joule more in the store at the end */
      readonly slope: number;
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
 * and the battery's debt of the last end; the engine starts each lap as the car file says, since
 * its warmth is part of the test and no energy that could be borrowed.
 *
 * Where repetition does not settle (the store falls into a limit cycle over several laps), the lap
 * nearest to balance is corrected with the slope of fuel over stored-energy change, a least-squares
 * line through laps from several start energies, as the hybrid test procedures do (UN GTR 15
 * annex 8, SAE J1711).
 */
export function runBalanced(
  car: Car,
  store: Store,
  demand: Demand,
  makeStrategy: StrategyMaker,
): BalancedRun {
  const drive = (from: Readonly<State>) => run(car, store, demand, makeStrategy(), from);
  const imbalance = (lap: Run) => Math.abs(lap.ledger.storeChange) / totalFuel(car, lap);
  const nearest = (runs: readonly Run[]) =>
    runs.reduce((a, b) => (imbalance(b) < imbalance(a) ? b : a));
  const laps: Run[] = [];
  let state = initialState(car, store);
  do {
    const lap = drive(state);
    laps.push(lap);
    state = nextLap(car, lap.end);
  } while (laps.length < MOST_LAPS && imbalance(laps.at(-1)!) > BALANCE_GOAL);
  const settled = nearest(laps);
  if (imbalance(settled) < BALANCE_LIMIT) {
    const fuel = totalFuel(car, settled);
    const residual = settled.ledger.storeChange / fuel;
    return { run: settled, fuel, balance: { method: 'repetition', laps: laps.length, residual } };
  }

  for (const share of SLOPE_STARTS) {
    laps.push(drive(copyState(initialState(car, store), speedAtShare(store, share))));
  }
  const best = nearest(laps);
  const changes = laps.map((lap) => lap.ledger.storeChange);
  const slope = leastSquaresSlope(
    changes,
    laps.map((lap) => totalFuel(car, lap)),
  );
  const fuel = totalFuel(car, best);
  const correction = -slope * best.ledger.storeChange;
  return {
    run: best,
    fuel: fuel + correction,
    balance: {
      method: 'slope',
      laps: laps.length,
      residual: best.ledger.storeChange / fuel,
      slope,
      correction: correction / fuel,
      bracketed: Math.min(...changes) < 0 && Math.max(...changes) > 0,
    },
  };
}

/** Start of the next lap: store and battery as they ended, the engine as at the first start. */
function nextLap(car: Car, end: Readonly<State>): State {
  return copyState(initialState(car, undefined), end.rotorSpeed, end.batteryDebt);
}

function speedAtShare(store: Store, share: number): number {
  const { rotor } = store;
  const low = rotorEnergy(rotor, rotor.minSpeed);
  return rotorSpeed(rotor, low + share * (rotorEnergy(rotor, rotor.maxSpeed) - low));
}

/** Slope of the least-squares line of y over x; x must not all be equal. */
export function leastSquaresSlope(x: readonly number[], y: readonly number[]): number {
  const meanX = x.reduce((a, b) => a + b, 0) / x.length;
  const meanY = y.reduce((a, b) => a + b, 0) / y.length;
  let xy = 0;
  let xx = 0;
  for (let i = 0; i < x.length; i++) {
    xy += (x[i]! - meanX) * (y[i]! - meanY);
    xx += (x[i]! - meanX) ** 2;
  }
  return xy / xx;
}
