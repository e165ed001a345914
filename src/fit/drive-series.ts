import type { Trace } from '../cycle/trace.ts';
import type { Store } from '../physics/store.ts';
import { type Car, fitStore } from '../simulate/car.ts';
import { Demand } from '../simulate/demand.ts';
import { run } from '../simulate/run.ts';
import { copyState, initialState } from '../simulate/state.ts';
import type { StrategyMaker } from '../strategy/contract.ts';

/** A slip of rounding between two clocks is no other interval [s]. */
const SAME_INSTANT = 1e-9;

/** One drive of a case, simulated once from a known rotor speed: what a log of it would hold. */
export class DriveSeries {
  readonly #trace: Trace;
  /** Fuel burned until each sample of the trace [kg] */
  readonly #burned: Float64Array;
  /** Rotor speed at each sample [rad/s] */
  readonly #rotor: Float64Array;
  readonly #on: Uint8Array;
  /** Instants of engine starts, since the start of the trace [s] */
  readonly starts: readonly number[];

  /**
   * @param car without the store
   * @param store
   * @param trace
   * @param makeStrategy
   * @param rotorSpeed at the start [rad/s]; as full as the store file says if left out
   */
  constructor(
    car: Car,
    store: Store,
    trace: Trace,
    makeStrategy: StrategyMaker,
    rotorSpeed?: number,
  ) {
    const fitted = fitStore(car, store);
    const demand = new Demand(fitted, store, trace);
    const start = copyState(initialState(fitted, store), rotorSpeed);
    const count = trace.time.length;
    const { heatingValue } = car.engine.fuel;
    this.#trace = trace;
    this.#burned = new Float64Array(count);
    this.#rotor = new Float64Array(count);
    this.#on = new Uint8Array(count - 1);
    this.#rotor[0] = start.rotorSpeed;
    const starts: number[] = [];
    let k = 0;
    run(fitted, store, demand, makeStrategy(), start, (step) => {
      this.#burned[k + 1] = this.#burned[k]! + (step.fuel * step.dt) / heatingValue;
      this.#rotor[k + 1] = step.rotorSpeed;
      this.#on[k] = step.engineOn ? 1 : 0;
      if (step.engineStarted) starts.push(step.time - trace.time[0]!);
      k++;
    });
    this.starts = starts;
  }

  /** Length of the drive [s]. */
  get duration(): number {
    return this.#trace.time.at(-1)! - this.#trace.time[0]!;
  }

  /** Speed of the car [m/s] at a time since the start of the drive. */
  speed(time: number): number {
    return this.#between(this.#trace.speed, time);
  }

  /** Rotor speed [rad/s] at such a time. */
  rotorSpeed(time: number): number {
    return this.#between(this.#rotor, time);
  }

  /** Fuel burned until such a time [kg]. */
  burned(time: number): number {
    return this.#between(this.#burned, time);
  }

  /** 1 while the engine turns at such a time, else 0. */
  engineOn(time: number): number {
    return this.#on[this.#interval(time + SAME_INSTANT)]!;
  }

  #between(values: Float64Array, time: number): number {
    const k = this.#interval(time);
    const { time: at } = this.#trace;
    const share = (time + at[0]! - at[k]!) / (at[k + 1]! - at[k]!);
    return values[k]! + Math.min(Math.max(share, 0), 1) * (values[k + 1]! - values[k]!);
  }

  /** The interval that a time lies in, the first or last one beyond the ends. */
  #interval(since: number): number {
    const { time } = this.#trace;
    const at = since + time[0]!;
    let low = 0;
    let high = time.length - 2;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (time[middle]! <= at) low = middle;
      else high = middle - 1;
    }
    return low;
  }
}
