import { type Case, type CaseResult, runCase } from '../../src/simulate/case.ts';
import { combine } from '../../src/strategy/combine.ts';
import { type Summary, summarise } from '../../src/summary/summary.ts';
import { cycleNamed, plainCar, plainStore } from '../fixtures.ts';

/** The plain car with the plain store on an urban cycle, coasting with its engine off. */
export const plainCase: Case = {
  car: plainCar,
  store: plainStore,
  makeStrategy: () =>
    combine('plain strategy', {
      stopStart: { delay: 0 },
      coast: { floor: 0.05, maxSpeed: 40 },
      recover: { share: 1, minPower: 0 },
      assist: {
        launchBelow: 8,
        accelerationAbove: 0.3,
        share: 0.8,
        floor: 0.1,
        coverShortfall: true,
      },
    }),
  trace: cycleNamed('udds'),
};

export const plainResult: CaseResult = runCase(plainCase);

/** The summary of a result, under invented names. */
export function summaryOf(result: CaseResult, trace = plainCase.trace): Summary {
  return summarise({
    tool: 'spinledger 9.9.9',
    names: {
      car: 'plain-car',
      store: 'plain-store',
      strategy: 'plain-strategy',
      cycle: trace.name,
    },
    hash: '0123456789abcdef',
    trace,
    result,
  });
}

export const plainSummary: Summary = summaryOf(plainResult);
