import { deserialize, serialize } from 'node:v8';
import type { Problem } from '../config/problem.ts';
import type { CaseNames } from '../summary/summary.ts';
import { CannotWrite } from './cannot-write.ts';
import { NO_CASE } from './case-clock.ts';
import { type CaseRunner, failedCase, inputFailure } from './case-runner.ts';
import type { KnownBound } from './known-bounds.ts';
import type { LateErrors } from './late-errors.ts';
import type { PlannedCase, StudyOutputs } from './plan.ts';
import type { FailedRecord } from './record.ts';
import type { StudySources } from './sources.ts';

/** What a worker is started with. */
export interface WorkerData {
  /** One number that both sides see: not 0 once no further case is to be begun */
  readonly stop: Int32Array;
  /** Takes that a worker has loaded, as `tellLoaded` writes it */
  readonly loaded: Uint8Array;
}

/** What all chunks of a study have in common. */
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
  /** A `WorkerSetup` as bytes that all threads share: each reads it once, however large it is. */
  readonly setup: Uint8Array;
  readonly cases: readonly PlannedCase[];
  /** One number that both sides see: which of the cases is at work, NO_CASE if none */
  readonly at: Int32Array;
  /** Those of the cases that other chunks have found */
  readonly bounds: readonly KnownBound[];
}

/** Bytes of a setup, which are not copied from thread to thread. */
export function sharedSetup(setup: WorkerSetup): Uint8Array {
  const bytes = serialize(setup);
  const shared = new Uint8Array(new SharedArrayBuffer(bytes.length));
  shared.set(bytes);
  return shared;
}

/** @param bytes as `sharedSetup` made them */
export function readSetup(bytes: Uint8Array): WorkerSetup {
  return deserialize(bytes);
}

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

/** Runs the cases of a chunk in their order, until it is to stop. */
export async function runChunk(
  runner: CaseRunner,
  late: LateErrors,
  { stop }: Pick<WorkerData, 'stop'>,
  { sources, outputs, failFast }: WorkerSetup,
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
    if (Atomics.load(stop, 0) !== 0) break;
    Atomics.store(at, 0, finished);
    try {
      if (hasPlugIn(sources, planned)) late.suspect = planned;
      const ran = await runner.run(planned);
      text += `${ran.line}\n`;
      finished++;
      const thrown = await late.take();
      const culprit = thrown === undefined ? planned : (late.suspect ?? planned);
      const ended = thrown ? failedCase(culprit, outputs, inputFailure([thrown])) : ran;
      // The last line of a case is the one that counts.
      if (ended !== ran) text += `${ended.line}\n`;
      if (ended.state === 'done') continue;
      failed++;
      failure ??= { names: culprit.names, error: ended.error };
      if (failFast) break;
    } catch (error) {
      if (!(error instanceof CannotWrite)) throw error;
      stopped = error.problems;
      break;
    }
  }
  Atomics.store(at, 0, NO_CASE);
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

function hasPlugIn(sources: StudySources, { parts }: PlannedCase): boolean {
  const strategy = sources.strategy[parts.strategy]?.value;
  return typeof strategy === 'object' && strategy !== null && 'plugin' in strategy;
}
