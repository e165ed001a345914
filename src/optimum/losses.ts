import { DefectError } from '../config/problem.ts';
import type { Store } from '../physics/store.ts';
import type { Car } from '../simulate/car.ts';
import { expectSame } from '../simulate/case.ts';
import type { Demand } from '../simulate/demand.ts';
import { type Run, run } from '../simulate/run.ts';
import { copyState, type State } from '../simulate/state.ts';
import type { StrategyMaker, Want } from '../strategy/contract.ts';
import { type Action, actionOf } from './actions.ts';
import type { Bound } from './bound.ts';
import { Choice } from './dynamic-programming.ts';
import { Plan } from './replay.ts';

/** A stretch of the trace on which a strategy lost fuel in one and the same way. */
export interface Stretch {
  /** [s] */
  readonly from: number;
  readonly to: number;
  /** Mean [m/s] */
  readonly speed: number;
  readonly did: Action;
  /** Mean store power at the wheel, positive assists [W] */
  readonly didPower: number;
  /** What would have been cheapest from the very same state */
  readonly best: Action;
  readonly bestPower: number;
  /** Fuel energy [J] */
  readonly loss: number;
}

/** A stretch that is still growing. */
type Growing = { -readonly [Key in keyof Stretch]: Stretch[Key] };

/** Intervals with next to no loss that do not part a stretch [s]. */
const BRIDGED = 3;

/** A loss that is none [J]. */
const NONE = 1;

/** Rounding that a wish at a limit may bring into a lap that is driven by its wishes, relative. */
const SAME_LAP = 1e-9;

/**
 * Finds where along its lap a strategy loses fuel. In every interval its decision is held against the
 * cheapest one from the very same state, both with the costs to go behind them; the difference is what
 * this one decision cost, over all that follows from it.
 * @param bound of the case
 * @param car with the store fitted
 * @param store
 * @param demand of the trace
 * @param makeStrategy
 * @param lap of the strategy that counts
 * @returns stretches in order of time; their losses add up to its distance to the bound, but for what
 *   the interpolated costs to go are off
 * @throws InputError from a strategy that does not answer as before, DefectError where its wishes do
 *   not lead to where the lap ended
 */
export function lossesAlong(
  bound: Pick<Bound, 'pricesAlong'>,
  car: Car,
  store: Store,
  demand: Demand,
  makeStrategy: StrategyMaker,
  lap: Run,
): Stretch[] {
  const { plan, debts } = wishesOf(car, store, demand, makeStrategy, lap);
  const { stages, values } = bound.pricesAlong(debts);
  const state = copyState(lap.start);
  const other = copyState(lap.start);
  const choice = new Choice();
  const want: Want = { storePower: 0, engineOn: true, clutched: true };
  const stretches: Growing[] = [];
  for (let k = 0; k < stages.count; k++) {
    choice.clear();
    stages.tryFrom(k, state, values, choice);
    Object.assign(other, state);
    stages.take(k, other, choice.decision, want);
    const best = actionOf(stages.step);
    const bestPower = stages.step.store;
    plan.read(k, want);
    const paid = stages.takeWish(k, state, want);
    const { step } = stages;
    const total = paid + stages.toGo(k + 1, state, values);
    const interval = {
      from: step.time,
      to: step.time + step.dt,
      speed: step.speed,
      did: actionOf(step),
      didPower: step.store,
      best,
      bestPower,
      // A wish between the steps of power that are tried may be the cheapest of all.
      loss: Math.max(0, total - choice.total),
    };
    if (interval.loss > NONE) grow(stretches, interval);
  }
  expectEnd(lap.end, state);
  return stretches;
}

/** Losses along another lap would be those of another strategy. */
function expectEnd(wanted: Readonly<State>, reached: Readonly<State>): void {
  for (const key of ['rotorSpeed', 'batteryDebt'] as const) {
    const off = Math.abs(reached[key] - wanted[key]);
    if (off <= SAME_LAP * Math.max(1, wanted[key])) continue;
    throw new DefectError(
      `the lap along which losses were counted ends with a ${key} of ${reached[key]}, that of the result with ${wanted[key]}`,
    );
  }
}

/** What a strategy wants along a lap, and what its battery is then owed at each instant [J]. */
function wishesOf(
  car: Car,
  store: Store,
  demand: Demand,
  makeStrategy: StrategyMaker,
  lap: Run,
): { readonly plan: Plan; readonly debts: Float64Array } {
  const plan = new Plan(demand.count);
  const debts = new Float64Array(demand.count + 1).fill(lap.end.batteryDebt);
  const strategy = makeStrategy();
  let stage = 0;
  const noting = {
    name: strategy.name,
    decide(see: Parameters<typeof strategy.decide>[0], want: Want) {
      strategy.decide(see, want);
      debts[stage] = see.batteryDebt;
      plan.note(stage++, want);
    },
  };
  expectSame(strategy.name, lap, run(car, store, demand, noting, lap.start));
  return { plan, debts };
}

/** Adds an interval to the last stretch, or begins another. */
function grow(stretches: Growing[], interval: Stretch): void {
  const last = stretches.at(-1);
  if (
    last === undefined ||
    last.did !== interval.did ||
    last.best !== interval.best ||
    interval.from - last.to > BRIDGED
  ) {
    stretches.push({ ...interval });
    return;
  }
  const before = last.to - last.from;
  const more = interval.to - interval.from;
  const mean = (a: number, b: number) => (a * before + b * more) / (before + more);
  last.speed = mean(last.speed, interval.speed);
  last.didPower = mean(last.didPower, interval.didPower);
  last.bestPower = mean(last.bestPower, interval.bestPower);
  last.to = interval.to;
  last.loss += interval.loss;
}
