import type { LoadedCase } from '../config/load.ts';
import { InputError, type Problem, problemLine } from '../config/problem.ts';
import { findBound } from '../optimum/bound.ts';
import { boundFigures, type LeastFuel, leastFuelOf } from '../optimum/bound-summary.ts';
import { type CaseResult, type References, runCase, runReferences } from '../simulate/case.ts';
import { runWaterfall } from '../simulate/waterfall.ts';
import { summarise } from '../summary/summary.ts';
import { tool } from '../summary/tool.ts';
import { CannotWrite } from './cannot-write.ts';
import { type EntryHead, type Extras, entryText } from './entry.ts';
import type { CaseInputs } from './inputs.ts';
import { KnownBounds } from './known-bounds.ts';
import type { PlannedCase } from './plan.ts';
import type { DoneRecord, FailedRecord } from './record.ts';

/** So many references are kept: cases that share car and cycle stand close to each other in a plan. */
const KEPT_REFERENCES = 256;

/** A case that was run, with its line for the journal, which has no end. */
export type FinishedCase =
  | { readonly state: 'done'; readonly line: string }
  | { readonly state: 'failed'; readonly line: string; readonly error: FailedRecord['error'] };

/** What else is done with a case that ran; what it throws makes the case fail, but CannotWrite. */
export type AfterCase = (
  planned: PlannedCase,
  loaded: LoadedCase,
  result: CaseResult,
) => Promise<void>;

/** Runs cases of a plan, one after the other, and shares what they have in common. */
export class CaseRunner {
  readonly #inputs: CaseInputs;
  readonly #extras: Extras;
  /** Those that are known are not found again. */
  readonly bounds = new KnownBounds();
  readonly #after: AfterCase | undefined;
  readonly #tool = tool();
  readonly #references = new Map<string, References>();

  /**
   * @param inputs of the plan
   * @param extras whether the saving is split into steps, and whether it is held against its bound
   * @param after what else is done with each case
   */
  constructor(inputs: CaseInputs, extras: Extras, after?: AfterCase) {
    this.#inputs = inputs;
    this.#extras = extras;
    this.#after = after;
  }

  /**
   * Runs a case; one that cannot be finished has failed.
   * @throws CannotWrite
   */
  async run(planned: PlannedCase): Promise<FinishedCase> {
    const { hash } = planned;
    try {
      const { schema_version, tool, case: _, ...result } = await this.#summary(planned);
      return { state: 'done', line: entryText(headOf(hash, 'done', this.#extras), result) };
    } catch (error) {
      if (error instanceof CannotWrite) throw error;
      return failedCase(planned, this.#extras, errorOf(error));
    }
  }

  async #summary(planned: PlannedCase): Promise<Omit<DoneRecord, 'state' | 'varied'>> {
    const loaded = await this.#inputs.load(planned);
    const { subject } = loaded;
    const result = runCase(subject, this.#referencesOf(planned, loaded));
    const waterfall = this.#extras.explain
      ? runWaterfall(subject, loaded.strategy.value.behaviours, result)
      : undefined;
    await this.#after?.(planned, loaded, result);
    const { names, hash } = planned;
    const { trace } = subject;
    const summary = summarise({ tool: this.#tool, names, hash, trace, result, waterfall });
    if (!this.#extras.bound) return summary;
    const { fuel, bound } = boundFigures(this.#boundOf(planned, loaded, result), result);
    return { ...summary, fuel: { ...summary.fuel, ...fuel }, bound };
  }

  /** The bound of a case, which does not hang on its strategy. */
  #boundOf({ inputs }: PlannedCase, { subject }: LoadedCase, { fittedCar }: CaseResult): LeastFuel {
    const known = this.bounds.of(inputs);
    if (known !== undefined) return known;
    const bound = leastFuelOf(findBound(fittedCar, subject.store, subject.trace));
    this.bounds.set(inputs, bound);
    return bound;
  }

  #referencesOf({ inputs }: PlannedCase, { subject }: LoadedCase): References {
    const key = `${inputs.car} ${inputs.cycle}`;
    const known = this.#references.get(key);
    if (known !== undefined) return known;
    const references = runReferences(subject.car, subject.trace);
    if (this.#references.size >= KEPT_REFERENCES) {
      const [oldest] = this.#references.keys();
      if (oldest !== undefined) this.#references.delete(oldest);
    }
    this.#references.set(key, references);
    return references;
  }
}

/** A case that could not be finished. */
export function failedCase(
  { hash }: PlannedCase,
  extras: Extras,
  error: FailedRecord['error'],
): FinishedCase {
  const line = entryText(headOf(hash, 'failed', extras), { error });
  return { state: 'failed', line, error };
}

function headOf(hash: string, state: EntryHead['state'], { explain, bound }: Extras): EntryHead {
  return { hash, state, explained: explain, bounded: bound };
}

/** Why a case failed whose problems are known. */
export function inputFailure(problems: readonly Problem[]): FailedRecord['error'] {
  return { kind: 'input', message: problems.map(problemLine).join('; '), problems };
}

function errorOf(error: unknown): FailedRecord['error'] {
  if (error instanceof InputError) return inputFailure(error.problems);
  const message = error instanceof Error ? error.message : String(error);
  return { kind: 'defect', message, problems: [] };
}
