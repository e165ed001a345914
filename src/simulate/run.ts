import { InputError } from '../config/problem.ts';
import type { Store } from '../physics/store.ts';
import { newWant, type Strategy, type View, type Want } from '../strategy/contract.ts';
import type { Car } from './car.ts';
import type { Demand } from './demand.ts';
import { Interval } from './interval.ts';
import { Ledger } from './ledger.ts';
import { copyState, type State } from './state.ts';
import type { Step } from './step.ts';

/** How far beyond the envelope a wish may lie and still be rounding: relative, and in watts. */
const ENVELOPE_SLACK = 1e-9;
const ENVELOPE_SLACK_POWER = 1e-6;

/** One run over a trace, closed. */
export interface Run {
  readonly ledger: Ledger;
  readonly start: Readonly<State>;
  readonly end: Readonly<State>;
  /** Largest relative imbalance of the ledger's nodes */
  readonly closure: number;
}

/**
 * The time loop: every interval of a trace in turn, by look, decide, settle, add.
 * @param car with the store's mass when one is fitted
 * @param store or none
 * @param demand of this car and trace
 * @param strategy with fresh state
 * @param from state at the start
 * @param watch called with each settled interval, for logs
 * @returns ledger and states at both ends
 * @throws InputError naming a strategy that answers what it may not, DefectError on an open ledger
 */
export function run(
  car: Car,
  store: Store | undefined,
  demand: Demand,
  strategy: Strategy,
  from: Readonly<State>,
  watch?: (step: Readonly<Step>) => void,
): Run {
  const interval = new Interval(car, store);
  const ledger = new Ledger();
  const state = copyState(from);
  const want = newWant();
  const { view, step } = interval;
  view.outcome = outcomes(interval, state, strategy);
  const { maxSpeed } = car.engine;
  for (let first = 0; first < demand.count; ) {
    const held = demand.block(first);
    for (let i = 0; i < held; i++) {
      interval.look(demand, i, state);
      want.storePower = 0;
      want.engineOn = true;
      want.clutched = true;
      strategy.decide(view, want);
      holdToEnvelope(strategy, view, want);
      interval.settle(want, state);
      ledger.add(step, maxSpeed);
      if (watch !== undefined) watch(step);
    }
    first += held;
  }
  const closure = ledger.close(
    from,
    state,
    car.engine.inertia,
    store === undefined ? 0 : store.rotor.inertia,
  );
  return { ledger, start: from, end: state, closure };
}

/** Answers what a strategy asks of an interval, for a wish that it could as well decide. */
function outcomes(interval: Interval, state: Readonly<State>, strategy: Strategy): View['outcome'] {
  const asked = newWant();
  return ({ storePower, engineOn, clutched }) => {
    asked.storePower = storePower;
    asked.engineOn = engineOn;
    asked.clutched = clutched;
    holdToEnvelope(strategy, interval.view, asked);
    return interval.tryOut(asked, state);
  };
}

/** Stops a strategy that leaves the envelope or answers what is no answer; takes off rounding. */
function holdToEnvelope(strategy: Strategy, view: View, want: Want): void {
  const power = want.storePower;
  const inside =
    typeof power === 'number' &&
    power <= view.assistLimit * (1 + ENVELOPE_SLACK) + ENVELOPE_SLACK_POWER &&
    -power <= view.recoverLimit * (1 + ENVELOPE_SLACK) + ENVELOPE_SLACK_POWER;
  if (!inside || typeof want.engineOn !== 'boolean' || typeof want.clutched !== 'boolean') {
    throw new InputError([strategyProblem(strategy.name, view, want)]);
  }
  if (power > view.assistLimit) want.storePower = view.assistLimit;
  else if (-power > view.recoverLimit) want.storePower = -view.recoverLimit;
}

function strategyProblem(name: string, view: View, want: Want) {
  const file = `strategy ${name}`;
  const path = `at ${view.time} s`;
  const watts = (value: number) => `${Number(value.toPrecision(6))} W`;
  if (typeof want.engineOn !== 'boolean') {
    return answer(file, path, 'engineOn', want.engineOn, 'true or false');
  }
  if (typeof want.clutched !== 'boolean') {
    return answer(file, path, 'clutched', want.clutched, 'true or false');
  }
  if (typeof want.storePower !== 'number' || !Number.isFinite(want.storePower)) {
    return answer(file, path, 'storePower', want.storePower, 'a finite number of watts');
  }
  return {
    ...answer(
      file,
      path,
      'storePower',
      watts(want.storePower),
      `a store power within the envelope, ${watts(-view.recoverLimit)} to ${watts(view.assistLimit)}`,
    ),
    code: 'strategy-left-envelope',
    hint: 'hold what you want against see.assistLimit and see.recoverLimit',
  };
}

function answer(file: string, path: string, key: string, found: unknown, expected: string) {
  return { code: 'strategy-answer', file, path: `${path}, ${key}`, found: String(found), expected };
}
