import type { LoadedCase } from '../config/load.ts';
import { InputError, type Problem, problemLine } from '../config/problem.ts';
import { type CaseResult, type References, runCase, runReferences } from '../simulate/case.ts';
import { runWaterfall } from '../simulate/waterfall.ts';
import { type Summary, summarise } from '../summary/summary.ts';
import { tool } from '../summary/tool.ts';
import { CannotWrite } from './cannot-write.ts';
import { entryText } from './entry.ts';
import type { CaseInputs } from './inputs.ts';
import type { PlannedCase } from './plan.ts';
import type { FailedRecord } from './record.ts';

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
  readonly #explain: boolean;
  readonly #after: AfterCase | undefined;
  readonly #tool = tool();
  readonly #references = new Map<string, References>();

  /**
   * @param inputs of the plan
   * @param explain whether the saving is split into steps
   * @param after what else is done with each case
   */
  constructor(inputs: CaseInputs, explain: boolean, after?: AfterCase) {
    this.#inputs = inputs;
    this.#explain = explain;
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
      const head = { hash, state: 'done', explained: this.#explain } as const;
      return { state: 'done', line: entryText(head, result) };
    } catch (error) {
      if (error instanceof CannotWrite) throw error;
      return failedCase(planned, this.#explain, errorOf(error));
    }
  }

  async #summary(planned: PlannedCase): Promise<Summary> {
    const loaded = await this.#inputs.load(planned);
    const { subject } = loaded;
    const result = runCase(subject, this.#referencesOf(planned, loaded));
    const waterfall = this.#explain
      ? runWaterfall(subject, loaded.strategy.value.behaviours, result)
      : undefined;
    await this.#after?.(planned, loaded, result);
    const { names, hash } = planned;
    return summarise({ tool: this.#tool, names, hash, trace: subject.trace, result, waterfall });
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
  explained: boolean,
  error: FailedRecord['error'],
): FinishedCase {
  const line = entryText({ hash, state: 'failed', explained }, { error });
  return { state: 'failed', line, error };
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
