import { existsSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import type { Piscina } from 'piscina';
import { packageRoot } from '../config/package-root.ts';
import { DefectError } from '../config/problem.ts';
import { CaseClock, NO_CASE, sharedLimit } from './case-clock.ts';
import type { Chunk, ChunkDone, WorkerData } from './chunk.ts';
import { Loaded } from './loaded.ts';

/** What became of a chunk. */
export type ChunkEnd =
  | { readonly kind: 'done'; readonly done: ChunkDone }
  /** Its worker is gone, and with it what it had finished of the chunk. */
  | {
      readonly kind: 'lost';
      /** Which of the cases was at work; NO_CASE if none */
      readonly at: number;
      /** `late`: it was ended here, since a case, or the beginning of the first, took too long */
      readonly why: 'ended' | 'late';
      readonly message: string;
    };

/** A plug-in that never gives memory back ends at this, and not with all there is [MB]. */
const HEAP = 1024;
/** So many threads load before it is known how many there will be to do. */
const EARLY = 2;
/** Time between two looks at how long a case has been at work [ms]. */
const LOOK = 200;

/** A number that threads share. */
function sharedNumber(value: number): Int32Array {
  return new Int32Array(new SharedArrayBuffer(Int32Array.BYTES_PER_ELEMENT)).fill(value);
}

/** Threads that run chunks of cases. One that ends is replaced, and only its chunk is lost. */
export class WorkerPool {
  /** How many there are at most */
  readonly jobs: number;
  /** Longest that one case may take with a core to itself [s] */
  readonly alone: number;
  /** Longest that one case may take here [s] */
  readonly limit: number;
  readonly #pool: Piscina;
  readonly #stop: Int32Array;
  readonly #loaded: Loaded;

  private constructor(
    pool: Piscina,
    stop: Int32Array,
    loaded: Loaded,
    jobs: number,
    alone: number,
  ) {
    this.#pool = pool;
    this.#stop = stop;
    this.#loaded = loaded;
    this.jobs = jobs;
    this.alone = alone;
    this.limit = sharedLimit(alone, jobs, availableParallelism());
  }

  /**
   * Has the first threads load, which they do while the caller plans what they will run.
   * @param jobs how many there are at most
   * @param alone longest that one case may take with a core to itself [s]
   */
  static async start(jobs: number, alone: number): Promise<WorkerPool> {
    const filename = join(packageRoot(), 'dist', 'study-worker.js');
    if (!existsSync(filename)) throw new DefectError(`no ${filename}: reinstall the package`);
    const stop = sharedNumber(0);
    const loaded = new Loaded();
    const workerData: WorkerData = { stop, loaded: loaded.flags };
    const { Piscina } = await import('piscina');
    const pool = new Piscina({
      filename,
      name: 'run',
      workerData,
      minThreads: Math.min(jobs, EARLY),
      maxThreads: jobs,
      idleTimeout: Number.POSITIVE_INFINITY,
      // A worker that waits must leave its event loop running, or plug-ins' timers never come.
      atomics: 'disabled',
      recordTiming: false,
      resourceLimits: { maxOldGenerationSizeMb: HEAP },
    });
    // A worker that cannot even start: without an end, what waits for it would wait for ever.
    pool.on('error', () => pool.destroy());
    return new WorkerPool(pool, stop, loaded, jobs, alone);
  }

  /** Runs a chunk on the next free worker. */
  async run(part: Pick<Chunk, 'setup' | 'cases' | 'bounds'>): Promise<ChunkEnd> {
    const at = sharedNumber(NO_CASE);
    const ending = new AbortController();
    const clock = new CaseClock(this.limit, performance.now());
    let late: number | undefined;
    const look = setInterval(() => {
      const now = Atomics.load(at, 0);
      if (late !== undefined || !clock.isLate(now, performance.now())) return;
      // The worker may go on to its next case before it is ended.
      late = now;
      ending.abort();
    }, LOOK);
    try {
      const chunk: Chunk = { ...part, at };
      const done: ChunkDone = await this.#pool.run(chunk, { signal: ending.signal });
      return { kind: 'done', done };
    } catch (error) {
      const message = error instanceof Error ? error.message : String(error);
      if (late !== undefined) return { kind: 'lost', at: late, why: 'late', message };
      return { kind: 'lost', at: Atomics.load(at, 0), why: 'ended', message };
    } finally {
      clearInterval(look);
    }
  }

  /** Lets no further case begin; what a worker is at, it may finish. */
  stop(): void {
    Atomics.store(this.#stop, 0, 1);
  }

  /** Ends all workers, whatever they are at, but for loading. */
  async end(): Promise<void> {
    await this.#loaded.wait(() => this.#pool.threads.map(({ threadId }) => threadId));
    await this.#pool.destroy();
  }
}
