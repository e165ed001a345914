import { InputError } from '../config/problem.ts';
import type { Trace } from '../cycle/trace.ts';
import type { Store } from '../physics/store.ts';
import { combine } from '../strategy/combine.ts';
import type { StrategyMaker } from '../strategy/contract.ts';
import { type Car, fitStore } from './car.ts';
import { Demand } from './demand.ts';
import { type Run, run } from './run.ts';
import { initialState } from './state.ts';
import { totalFuel } from './total-fuel.ts';
import { runTuned, type TunedRun, tunedStrategy } from './tuned.ts';

/** One car, store, strategy and cycle. */
export interface Case {
  readonly car: Car;
  readonly store: Store;
  readonly makeStrategy: StrategyMaker;
  readonly trace: Trace;
}

/** A run without a store, and its fuel with the battery's debt charged [J]. */
export interface ReferenceRun {
  readonly run: Run;
  readonly fuel: number;
}

/** The car without a store on a trace: what a saving is taken against. */
export interface References {
  /** The car as it is: no store, engine always on */
  readonly baseline: ReferenceRun;
  /** The same with stop-start */
  readonly stopStart: ReferenceRun;
}

/** A case as it turned out: two references without the store, and the balanced run with it. */
export interface CaseResult extends References {
  readonly withStore: TunedRun;
  /** The car with the store's mass and auxiliaries */
  readonly fittedCar: Car;
}

/**
 * Runs a car on a trace without a store: once as it is and once with stop-start, so that a store is
 * not credited with what stop-start alone would save. Cases that share both may share these runs.
 * @throws DefectError on an open ledger
 */
export function runReferences(car: Car, trace: Trace): References {
  const bare = new Demand(car, undefined, trace);
  const reference = (name: string, stops: boolean): ReferenceRun => {
    const strategy = combine(name, stops ? { stopStart: { delay: 0 } } : {});
    const done = run(car, undefined, bare, strategy, initialState(car, undefined));
    return { run: done, fuel: totalFuel(car, done) };
  };
  return { baseline: reference('as it is', false), stopStart: reference('stop-start', true) };
}

/**
 * Runs a case against its references: the same car without the store and without its mass on the
 * same trace.
 * @param subject the case
 * @param references of its car and trace, where they have been run before
 * @throws InputError from a strategy that breaks its contract, DefectError on an open ledger
 */
export function runCase(
  subject: Case,
  references: References = runReferences(subject.car, subject.trace),
): CaseResult {
  const { car, store, trace } = subject;
  const fittedCar = fitStore(car, store);
  const fitted = new Demand(fittedCar, store, trace);
  const withStore = runTuned(fittedCar, store, fitted, subject.makeStrategy);
  return { ...references, withStore, fittedCar };
}

/**
 * Drives the lap that counts once more, for a log.
 * @param subject the case
 * @param result what `runCase` gave for it
 * @param watch called with each settled interval
 * @throws InputError when the lap does not come out as before: a strategy that is no function of
 *   what it sees and of its own state
 */
export function replay(
  subject: Case,
  result: CaseResult,
  watch: Parameters<typeof run>[5] & {},
): void {
  const { store, trace } = subject;
  const { fittedCar, withStore } = result;
  const demand = new Demand(fittedCar, store, trace);
  const strategy = tunedStrategy(subject.makeStrategy, withStore.found);
  expectSame(
    strategy.name,
    withStore.run,
    run(fittedCar, store, demand, strategy, withStore.run.start, watch),
  );
}

/**
 * Holds a lap that was driven once more against itself.
 * @param name of its strategy
 * @param before
 * @param again
 * @throws InputError where they differ
 */
export function expectSame(name: string, before: Run, again: Run): void {
  if (again.ledger.fuel === before.ledger.fuel && again.end.rotorSpeed === before.end.rotorSpeed) {
    return;
  }
  throw new InputError([
    {
      code: 'strategy-not-repeatable',
      file: `strategy ${name}`,
      found: `the same lap burned ${before.ledger.fuel} J, then ${again.ledger.fuel} J`,
      expected: 'the same answers to the same views, in a log as in a summary',
      hint: 'a strategy may use what it sees and its own state, but no clock and no chance',
    },
  ]);
}
