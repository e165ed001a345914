import type { Store } from '../physics/store.ts';
import type { Car } from './car.ts';

/** Everything that passes from one interval to the next. */
export interface State {
  /** Rotor speed [rad/s]; 0 without a store */
  rotorSpeed: number;
  engineOn: boolean;
  /** Engine speed at the end of the last interval [rad/s]; 0 while off */
  engineSpeed: number;
  /** Since the engine started or stopped [s] */
  engineTime: number;
  /** Running time of the engine since the cold start [s] */
  runningTime: number;
  /** Electrical energy the battery is owed [J] */
  batteryDebt: number;
}

/**
 * State at the start of a trace: the engine idles, the battery is owed nothing, the store is as
 * full as its file says.
 */
export function initialState(car: Car, store: Store | undefined): State {
  return {
    rotorSpeed: store === undefined ? 0 : store.initialSpeed,
    engineOn: true,
    engineSpeed: car.engine.idleSpeed,
    engineTime: 0,
    runningTime: 0,
    batteryDebt: 0,
  };
}

/**
 * A state of its own with the same values, or with another rotor speed. Every state is written out
 * here and above in one field order, so that the time loop sees one shape.
 */
export function copyState(state: Readonly<State>, rotorSpeed: number = state.rotorSpeed): State {
  return {
    rotorSpeed,
    engineOn: state.engineOn,
    engineSpeed: state.engineSpeed,
    engineTime: state.engineTime,
    runningTime: state.runningTime,
    batteryDebt: state.batteryDebt,
  };
}

/** Writes the values of a state into another. */
export function assignState(into: State, state: Readonly<State>): void {
  into.rotorSpeed = state.rotorSpeed;
  into.engineOn = state.engineOn;
  into.engineSpeed = state.engineSpeed;
  into.engineTime = state.engineTime;
  into.runningTime = state.runningTime;
  into.batteryDebt = state.batteryDebt;
}
