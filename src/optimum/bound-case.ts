import type { LoadedCase } from '../config/load.ts';
import { intervalCount } from '../cycle/trace.ts';
import { fitStore } from '../simulate/car.ts';
import type { Case, CaseResult, References } from '../simulate/case.ts';
import { Demand } from '../simulate/demand.ts';
import { tunedStrategy } from '../simulate/tuned.ts';
import { summariseLoaded } from '../summary/loaded-summary.ts';
import type { Summary } from '../summary/summary.ts';
import { type Bound, findBound } from './bound.ts';
import { type BoundedSummary, withBound } from './bound-summary.ts';
import { lossesAlong } from './losses.ts';
import { replayOf } from './replay.ts';

/**
 * Holds a strategy's case against its bound.
 * @param subject the case
 * @param result what `runCase` gave for it
 * @param summary of the result
 * @param onProgress as `findBound` takes it
 * @returns the summary with the bound, the distance to it, and where it is lost
 * @throws InputError for a trace that is too long for a bound
 */
export function boundOfCase(
  subject: Case,
  result: CaseResult,
  summary: Summary,
  onProgress?: (share: number) => void,
): BoundedSummary {
  const { store, trace, makeStrategy } = subject;
  const { fittedCar, withStore } = result;
  const bound = findBound(fittedCar, store, trace, undefined, onProgress);
  const demand = new Demand(fittedCar, store, trace, intervalCount(trace));
  const driven = () => tunedStrategy(makeStrategy, withStore.found);
  const losses = lossesAlong(bound, fittedCar, store, demand, driven, withStore.run);
  return withBound(summary, result, store, bound, losses);
}

/**
 * The bound of a car, store and cycle by itself: its lap takes the place of a strategy's.
 * @param loaded the case; its strategy does not count
 * @param references of its car and trace
 * @param onProgress as `findBound` takes it
 * @throws InputError for a trace that is too long for a bound
 */
export function boundAlone(
  loaded: LoadedCase,
  references: References,
  onProgress?: (share: number) => void,
): BoundedSummary {
  const { car, store, trace } = loaded.subject;
  const fittedCar = fitStore(car, store);
  const bound = findBound(fittedCar, store, trace, undefined, onProgress);
  const result: CaseResult = { ...references, fittedCar, withStore: balancedLap(bound) };
  const strategy = { ...loaded.strategy, name: 'bound', identity: 'bound' };
  const subject = { ...loaded.subject, makeStrategy: () => replayOf(bound.plan) };
  const summary = summariseLoaded({ ...loaded, strategy, subject }, result);
  return withBound(summary, result, store, bound);
}

function balancedLap({ run, fuel }: Bound): CaseResult['withStore'] {
  const { storeChange } = run.ledger;
  const residual = storeChange === 0 ? 0 : storeChange / fuel;
  return { run, fuel, balance: { method: 'repetition', laps: 1, residual } };
}
