import { DefectError, InputError } from '../config/problem.ts';
import { failedCase, inputFailure } from './case-runner.ts';
import { type Chunk, type ChunkDone, type Failure, sharedSetup } from './chunk.ts';
import { ChunkSize } from './chunk-size.ts';
import type { Journal } from './journal.ts';
import { KnownBounds } from './known-bounds.ts';
import { endOf, notBegun, tooLong } from './lost-work.ts';
import type { Plan, PlannedCase } from './plan.ts';
import type { ChunkEnd, WorkerPool } from './pool.ts';

/** How the cases of a study are worked off. */
export interface WorkOptions {
  /** Whether the first case that fails ends the work */
  readonly failFast: boolean;
  /** Ends the work soon; what has been finished stays in the journal */
  readonly signal: AbortSignal;
  /** Called whenever cases are finished and on the disk */
  readonly onFinished: (progress: Progress) => void;
}

/** Cases that this work has finished. */
export interface Progress {
  readonly finished: number;
  /** How many of those failed */
  readonly failed: number;
  /** The first of them */
  readonly failure?: Failure | undefined;
}

/** Time that workers have to come to the end of their cases when they are to stop [ms]. */
const GRACE = 2000;
/** So often may a worker end before it has begun with anything: one of those is bad luck. */
const FALSE_STARTS = 3;

/**
 * Runs cases of a plan with a pool of workers, and puts each into the journal.
 *
 * A case that takes longer than is allowed, or whose worker ends under it, has failed, and the others
 * of its chunk are run again. What ends a worker may have been left behind by a neighbour, so such a
 * case is first tried once more by itself.
 *
 * @param plan
 * @param indices of the cases, in the order in which they are begun
 * @param folder of the study
 * @param journal of that folder
 * @param pool of workers, which are left for the caller to end
 * @param options
 * @returns what was finished: all, unless the signal or a failure ended it
 * @throws InputError where a log cannot be written; the errors of the system where the journal cannot
 */
export async function runCases(
  plan: Plan,
  indices: readonly number[],
  folder: string,
  journal: Journal,
  pool: Workers,
  options: WorkOptions,
): Promise<Progress> {
  if (indices.length === 0) return { finished: 0, failed: 0 };
  const crew = new Crew(pool, plan, folder, options);
  try {
    return await crew.run(plan, indices, journal);
  } finally {
    crew.end();
  }
}

/** What a crew needs of a pool. */
export type Workers = Pick<WorkerPool, 'jobs' | 'limit' | 'alone' | 'run' | 'stop' | 'end'>;

/** Where the cases of a batch come from, by their indices. */
export type CaseSource = Pick<Plan, 'caseAt' | 'outputs'>;

/** Runs one batch of cases after the other with a pool of workers. */
export class Crew {
  readonly #pool: Workers;
  readonly #setup: Uint8Array;
  readonly #options: WorkOptions;
  readonly #stop: () => void;
  #grace: NodeJS.Timeout | undefined;

  /**
   * @param pool whose workers have not run anything else, and will not
   * @param plan what the cases of all batches are made from, and what is written besides results
   * @param folder of the study
   * @param options
   */
  constructor(
    pool: Workers,
    { sources, outputs }: Pick<Plan, 'sources' | 'outputs'>,
    folder: string,
    options: WorkOptions,
  ) {
    const { failFast, signal } = options;
    this.#pool = pool;
    this.#setup = sharedSetup({ sources, outputs, folder, failFast });
    this.#options = options;
    this.#stop = () => {
      pool.stop();
      // What a worker is at, it may finish, if that does not take long.
      this.#grace = setTimeout(() => void pool.end(), GRACE);
    };
    signal.addEventListener('abort', this.#stop);
  }

  /** Runs a batch, as `runCases` does. */
  async run(cases: CaseSource, indices: readonly number[], journal: Journal): Promise<Progress> {
    const lanes = Math.min(this.#pool.jobs, indices.length);
    const work = new Work(cases, indices, journal, this.#pool, this.#options);
    const run: RunChunk = (part) => this.#pool.run({ setup: this.#setup, ...part });
    await Promise.all(Array.from({ length: lanes }, () => work.lane(run)));
    return work.progress;
  }

  /** Listens no longer to the signal. */
  end(): void {
    this.#options.signal.removeEventListener('abort', this.#stop);
    clearTimeout(this.#grace);
  }
}

type RunChunk = (part: Pick<Chunk, 'cases' | 'bounds'>) => Promise<ChunkEnd>;

/** The cases that are still to be run, and what has come of the others. */
class Work {
  readonly #plan: CaseSource;
  readonly #indices: readonly number[];
  readonly #journal: Journal;
  readonly #pool: Pick<Workers, 'limit' | 'alone'>;
  readonly #options: WorkOptions;
  readonly #size: ChunkSize;
  readonly #bounds = new KnownBounds();
  /** Place of the next case in the indices */
  #next = 0;
  /** Chunks that were lost with their workers */
  readonly #again: (readonly PlannedCase[])[] = [];
  /** Hashes of cases under which a worker has ended */
  readonly #suspects = new Set<string>();
  #falseStarts = 0;
  #finished = 0;
  #failed = 0;
  #failure: Failure | undefined;
  #isOver = false;

  constructor(
    plan: CaseSource,
    indices: readonly number[],
    journal: Journal,
    pool: Pick<Workers, 'jobs' | 'limit' | 'alone'>,
    options: WorkOptions,
  ) {
    this.#plan = plan;
    this.#indices = indices;
    this.#journal = journal;
    this.#pool = pool;
    this.#options = options;
    this.#size = new ChunkSize(pool.jobs);
  }

  get progress(): Progress {
    return { finished: this.#finished, failed: this.#failed, failure: this.#failure };
  }

  /** Feeds one worker until there is nothing left. A chunk runs while the last one is written. */
  async lane(run: RunChunk): Promise<void> {
    let kept = Promise.resolve();
    try {
      for (let cases = this.#take(); cases !== undefined; cases = this.#take()) {
        const end = await run({ cases, bounds: this.#bounds.among(cases) });
        if (this.#options.signal.aborted && end.kind === 'lost') break;
        await kept;
        kept = this.#end(cases, end);
        // It is waited for above and below; until then it is nobody's unhandled rejection.
        kept.catch(() => undefined);
      }
    } catch (error) {
      this.#isOver = true;
      throw error;
    }
    await kept;
    // What another lane lost may have come to the queue while this one waited.
    if (this.#again.length > 0 && !this.#hasEnded()) await this.lane(run);
  }

  #hasEnded(): boolean {
    return this.#isOver || this.#options.signal.aborted;
  }

  #take(): readonly PlannedCase[] | undefined {
    if (this.#hasEnded()) return undefined;
    const lost = this.#again.pop();
    if (lost !== undefined) return lost;
    const left = this.#indices.length - this.#next;
    if (left === 0) return undefined;
    const from = this.#next;
    this.#next += this.#size.of(left);
    return this.#indices.slice(from, this.#next).map((index) => this.#plan.caseAt(index));
  }

  async #end(cases: readonly PlannedCase[], end: ChunkEnd): Promise<void> {
    if (end.kind === 'done') {
      this.#falseStarts = 0;
      await this.#keep(end.done);
      return;
    }
    const culprit = cases[end.at];
    if (culprit === undefined) return this.#beginAgain(cases, end);
    const others = cases.filter((planned) => planned !== culprit);
    if (others.length > 0) this.#again.push(others);
    if (end.why === 'late' || this.#suspects.has(culprit.hash)) return this.#giveUp(culprit, end);
    this.#suspects.add(culprit.hash);
    this.#again.push([culprit]);
  }

  #beginAgain(cases: readonly PlannedCase[], { why, message }: ChunkEnd & { kind: 'lost' }): void {
    this.#falseStarts++;
    if (this.#falseStarts > FALSE_STARTS) {
      if (why === 'late') throw new InputError([notBegun()]);
      throw new DefectError(`workers end before they begin: ${message}`);
    }
    this.#again.push(cases);
  }

  async #giveUp(planned: PlannedCase, { why, message }: ChunkEnd & { kind: 'lost' }) {
    const { limit, alone } = this.#pool;
    const problem = why === 'late' ? tooLong(limit, alone) : endOf(message);
    const error = inputFailure([problem]);
    const { line } = failedCase(planned, this.#plan.outputs, error);
    const failure = { names: planned.names, error };
    await this.#keep({
      text: `${line}\n`,
      finished: 1,
      failed: 1,
      failure,
      elapsed: 0,
      bounds: [],
    });
  }

  async #keep({ text, finished, failed, failure, elapsed, stopped, bounds }: ChunkDone) {
    this.#bounds.add(bounds);
    this.#size.learn(finished, elapsed);
    if (failed > 0 && this.#options.failFast) this.#isOver = true;
    if (finished > 0) await this.#journal.append(text);
    this.#finished += finished;
    this.#failed += failed;
    this.#failure ??= failure;
    this.#options.onFinished(this.progress);
    if (stopped !== undefined) throw new InputError(stopped);
  }
}
