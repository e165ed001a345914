import type { Problem } from '../config/problem.ts';
import type { CaseNames } from '../summary/summary.ts';
import { CannotWrite } from './cannot-write.ts';
import { type CaseRunner, failedCase, inputFailure } from './case-runner.ts';
import type { KnownBound } from './known-bounds.ts';
import type { LateErrors } from './late-errors.ts';
import type { PlannedCase, StudyOutputs } from './plan.ts';
import type { FailedRecord } from './record.ts';
import type { StudySources } from './sources.ts';

/** What a worker is started with. */
export interface WorkerSetup {
  readonly sources: StudySources;
  readonly outputs: StudyOutputs;
  /** Folder of the study */
  readonly folder: string;
  /** Whether a chunk ends with the first case that fails */
  readonly failFast: boolean;
}

/** Consecutive cases for a worker. */
export interface Chunk {
  readonly cases: readonly PlannedCase[];
  /** One number that both sides see: which of the cases is at work, NOT_BEGUN before the first */
  readonly at: Int32Array;
  /** Those of the cases that other chunks have found */
  readonly bounds: readonly KnownBound[];
}

export const NOT_BEGUN = -1;

/** Which case failed, and why. */
export interface Failure {
  readonly names: CaseNames;
  readonly error: FailedRecord['error'];
}

/** What a worker hands back. */
export interface ChunkDone {
  /** Lines for the journal, each with its end */
  readonly text: string;
  readonly finished: number;
  readonly failed: number;
  /** The first of those that failed */
  readonly failure?: Failure;
  /** Bounds of its cases */
  readonly bounds: readonly KnownBound[];
  /** Time that it took [ms] */
  readonly elapsed: number;
  /** Why it could not go on */
  readonly stopped?: readonly Problem[];
}

/** Runs the cases of a chunk in their order. */
export async function runChunk(
  runner: CaseRunner,
  late: LateErrors,
  { outputs, failFast }: Pick<WorkerSetup, 'outputs' | 'failFast'>,
  { cases, at, bounds }: Chunk,
): Promise<ChunkDone> {
  const start = performance.now();
  runner.bounds.add(bounds);
  let text = '';
  let finished = 0;
  let failed = 0;
  let failure: Failure | undefined;
  let stopped: readonly Problem[] | undefined;
  for (const planned of cases) {
    Atomics.store(at, 0, finished);
    try {
      const ran = await runner.run(planned);
      const thrown = await late.take();
      const done = thrown ? failedCase(planned, outputs, inputFailure([thrown])) : ran;
      text += `${done.line}\n`;
      finished++;
      if (done.state === 'done') continue;
      failed++;
      failure ??= { names: planned.names, error: done.error };
      if (failFast) break;
    } catch (error) {
      if (!(error instanceof CannotWrite)) throw error;
      stopped = error.problems;
      break;
    }
  }
  const elapsed = performance.now() - start;
  return {
    text,
    finished,
    failed,
    elapsed,
    bounds: runner.bounds.among(cases),
    ...(failure && { failure }),
    ...(stopped && { stopped }),
  };
}
