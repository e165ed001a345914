import type { Store } from '../physics/store.ts';
import type { Car } from '../simulate/car.ts';
import type { Demand } from '../simulate/demand.ts';
import { type Run, run } from '../simulate/run.ts';
import { copyState, initialState } from '../simulate/state.ts';
import { marginalFuel } from '../simulate/total-fuel.ts';
import { combine } from '../strategy/combine.ts';
import type { RoadStages } from './road-stages.ts';
import type { Values } from './values.ts';

/** What the lanes leave out, taken along a lap that is near the optimum, to first order. */
export interface Course {
  /** Fuel for each joule that the battery is owed at the end */
  readonly debtPrice: number;
  /** Running time of the engine at each instant, on which its warmth hangs [s] */
  readonly runningTime: Float64Array;
  /** Fuel to come for each further second of running time, at each instant [J/s] */
  readonly warmth: Float64Array;
  /** What the battery is owed at each instant, once a lap is known [J] */
  readonly debt?: Float64Array;
}

/** Step of the derivative by running time [s]. */
const WARMTH_STEP = 1;

/** A course before there is a lap: the engine runs all the time, and its warmth is not priced. */
export function firstCourse(car: Car, store: Store, demand: Demand): Course {
  const lap = run(car, store, demand, combine('engine on', {}), initialState(car, store));
  const runningTime = new Float64Array(demand.count + 1);
  for (let k = 0; k < demand.count; k++) runningTime[k + 1] = runningTime[k]! + demand.dt[k]!;
  return {
    debtPrice: debtPrice(car, lap),
    runningTime,
    warmth: new Float64Array(demand.count + 1),
  };
}

/**
 * The course of a lap. What a further second of running time would have changed is found by settling
 * the same wish in every interval a second time, with an engine that has run a second longer. It is the
 * wish and not the number of the decision, since an engine that has run longer may be offered more.
 */
export function courseAlong(
  car: Car,
  lap: Run,
  decisions: Uint8Array,
  stages: RoadStages,
  values: Values,
): Course {
  const { count } = stages;
  const runningTime = new Float64Array(count + 1);
  const warmth = new Float64Array(count + 1);
  const debt = new Float64Array(count + 1);
  const state = copyState(lap.start);
  const warmer = copyState(lap.start);
  const want = { storePower: 0, engineOn: true, clutched: true };
  for (let k = 0; k < count; k++) {
    runningTime[k] = state.runningTime;
    debt[k] = state.batteryDebt;
    Object.assign(warmer, state);
    warmer.runningTime += WARMTH_STEP;
    const cold = stages.take(k, state, decisions[k]!, want) + stages.toGo(k + 1, state, values);
    const paid = stages.takeWish(k, warmer, want);
    // What that second is worth from the next instant on is added up below, and must not come in twice.
    warmer.runningTime = state.runningTime;
    const warm = paid + stages.toGo(k + 1, warmer, values);
    warmth[k] = (warm - cold) / WARMTH_STEP;
  }
  runningTime[count] = state.runningTime;
  debt[count] = state.batteryDebt;
  for (let k = count - 1; k >= 0; k--) warmth[k] = warmth[k]! + warmth[k + 1]!;
  return { debtPrice: debtPrice(car, lap), runningTime, warmth, debt };
}

/** Fuel for each joule the battery is owed, as a run is charged for it. */
function debtPrice(car: Car, lap: Run): number {
  return marginalFuel(car, lap) / car.electrics.alternatorEfficiency;
}
