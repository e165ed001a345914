import { caseHash, inputHash } from '../config/hash.ts';
import type { LoadedCase } from '../config/load.ts';
import type { CaseResult } from '../simulate/case.ts';
import { MODEL_VERSION } from '../simulate/model-version.ts';
import type { WaterfallStep } from '../simulate/waterfall.ts';
import { type Summary, summarise } from './summary.ts';
import { tool } from './tool.ts';

/**
 * The summary of a case that was loaded from files, signed with this program and with the hash of
 * everything that decided the result.
 * @param loaded the case
 * @param result what `runCase` gave for it
 * @param waterfall what `runWaterfall` gave for it, where the saving is to be shown in steps
 */
export function summariseLoaded(
  loaded: LoadedCase,
  result: CaseResult,
  waterfall?: readonly WaterfallStep[],
): Summary {
  const { car, store, strategy, cycle, subject } = loaded;
  const inputs = {
    car: inputHash(car.identity),
    store: inputHash(store.identity),
    strategy: inputHash(strategy.identity),
    cycle: inputHash(cycle.identity),
  };
  return summarise({
    tool: tool(),
    names: { car: car.name, store: store.name, strategy: strategy.name, cycle: cycle.name },
    hash: caseHash(inputs, MODEL_VERSION),
    trace: subject.trace,
    result,
    waterfall,
  });
}
