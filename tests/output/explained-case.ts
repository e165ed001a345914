import { runCase } from '../../src/simulate/case.ts';
import { runWaterfall, type WaterfallStep } from '../../src/simulate/waterfall.ts';
import { type Behaviours, combine } from '../../src/strategy/combine.ts';
import { type Summary, summarise } from '../../src/summary/summary.ts';
import type { StepSummary } from '../../src/summary/waterfall.ts';
import { cycleNamed } from '../fixtures.ts';
import { plainCase } from './plain-case.ts';

/** A summary with its saving in steps. */
export type Explained = Summary & { readonly waterfall: readonly StepSummary[] };

/** The plain car with the plain store and some strategy, its saving in steps beside it. */
export function explained(
  behaviours: Behaviours,
  trace = cycleNamed('nycc'),
): { readonly steps: readonly WaterfallStep[]; readonly summary: Explained } {
  const makeStrategy = () => combine('explained', behaviours);
  const subject = { ...plainCase, makeStrategy, trace };
  const result = runCase(subject);
  const steps = runWaterfall(subject, behaviours, result);
  const names = { car: 'car', store: 'store', strategy: 'strategy', cycle: trace.name };
  const summary = summarise({
    tool: 'spinledger 9.9.9',
    names,
    hash: '0123456789abcdef',
    trace,
    result,
    waterfall: steps,
  });
  return { steps, summary: summary as Explained };
}

/** A strategy that has every part. */
export const everyPart: Behaviours = {
  stopStart: { delay: 0 },
  recover: { share: 1, minPower: 0 },
  assist: { launchBelow: 6, accelerationAbove: 0.4, share: 1, floor: 0.1, coverShortfall: true },
  keepOff: { stopAbove: 0.3, floor: 0.05, maxPower: 15e3 },
  coast: { floor: 0.05, maxSpeed: 30 },
  reserve: { target: 0.4, chargePower: 5e3, demandBelow: 15e3, speedAbove: 8 },
};
