import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Piscina } from 'piscina';
import { packageRoot } from '../config/package-root.ts';
import { DefectError } from '../config/problem.ts';
import { type Chunk, type ChunkDone, NOT_BEGUN, type WorkerSetup } from './chunk.ts';
import type { KnownBound } from './known-bounds.ts';
import type { PlannedCase } from './plan.ts';

/** What became of a chunk. */
export type ChunkEnd =
  | { readonly kind: 'done'; readonly done: ChunkDone }
  /** Its worker is gone, and with it what it had finished of the chunk. */
  | {
      readonly kind: 'lost';
      /** Which of the cases was at work; NOT_BEGUN if none */
      readonly at: number;
      /** `late`: it was ended here, since a case took longer than is allowed */
      readonly why: 'ended' | 'late';
      readonly message: string;
    };

/** A plug-in that never gives memory back ends at this, and not with all there is [MB]. */
const HEAP = 1024;
/** Time between two looks at how long a case has been at work [ms]. */
const LOOK = 200;

/** A number that threads share. */
function sharedNumber(value: number): Int32Array {
  return new Int32Array(new SharedArrayBuffer(Int32Array.BYTES_PER_ELEMENT)).fill(value);
}

/** Threads that run chunks of cases. One that ends is replaced, and only its chunk is lost. */
export class WorkerPool {
  readonly #pool: Piscina;
  readonly #stop: Int32Array;
  /** Longest that one case may take [ms] */
  readonly #limit: number;

  private constructor(pool: Piscina, stop: Int32Array, limit: number) {
    this.#pool = pool;
    this.#stop = stop;
    this.#limit = limit;
  }

  /**
   * @param setup what every worker is started with
   * @param jobs how many there are
   * @param limit longest that one case may take [s]
   */
  static async start(
    setup: Omit<WorkerSetup, 'stop'>,
    jobs: number,
    limit: number,
  ): Promise<WorkerPool> {
    const filename = join(packageRoot(), 'dist', 'study-worker.js');
    if (!existsSync(filename)) throw new DefectError(`no ${filename}: reinstall the package`);
    const stop = sharedNumber(0);
    const workerData: WorkerSetup = { ...setup, stop };
    const { Piscina } = await import('piscina');
    const pool = new Piscina({
      filename,
      name: 'run',
      workerData,
      minThreads: jobs,
      maxThreads: jobs,
      idleTimeout: Number.POSITIVE_INFINITY,
      // A worker that waits must leave its event loop running, or plug-ins' timers never come.
      atomics: 'disabled',
      recordTiming: false,
      resourceLimits: { maxOldGenerationSizeMb: HEAP },
    });
    // A worker that cannot even start: without an end, what waits for it would wait for ever.
    pool.on('error', () => pool.destroy());
    return new WorkerPool(pool, stop, limit * 1000);
  }

  /** Runs a chunk, with what is known of its bounds, on the next free worker. */
  async run(cases: readonly PlannedCase[], bounds: readonly KnownBound[]): Promise<ChunkEnd> {
    const at = sharedNumber(NOT_BEGUN);
    const ending = new AbortController();
    let seen = NOT_BEGUN;
    let since = performance.now();
    const look = setInterval(() => {
      const now = Atomics.load(at, 0);
      if (now !== seen) {
        seen = now;
        since = performance.now();
      } else if (performance.now() - since > this.#limit) ending.abort();
    }, LOOK);
    try {
      const chunk: Chunk = { cases, at, bounds };
      const done: ChunkDone = await this.#pool.run(chunk, { signal: ending.signal });
      return { kind: 'done', done };
    } catch (error) {
      const message = error instanceof Error ? error.message : String(error);
      const why = ending.signal.aborted ? 'late' : 'ended';
      return { kind: 'lost', at: Atomics.load(at, 0), why, message };
    } finally {
      clearInterval(look);
    }
  }

  /** Lets no further case begin; what a worker is at, it may finish. */
  stop(): void {
    Atomics.store(this.#stop, 0, 1);
  }

  /** Ends all workers at once, whatever they are at. */
  async end(): Promise<void> {
    await this.#pool.destroy();
  }
}
