import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import { namedFrom } from '../config/files.ts';
import { packageRoot } from '../config/package-root.ts';
import type { PlugInParameters } from '../config/plug-in.ts';
import { DefectError, InputError, type Problem } from '../config/problem.ts';
import { endedEarly } from './disturbance.ts';

/** A plug-in that a thread is to load, as `loadPlugIn` takes it. */
export interface PlugInAsked {
  readonly name: string;
  readonly folder: string;
  readonly module: string;
  readonly parameters: PlugInParameters;
}

/** What came of it: the text of the module, or what is wrong with it. */
export type PlugInAnswer = { readonly source: string } | { readonly problems: readonly Problem[] };

const EXPECTED = 'a module that is imported, and makes its strategy, within `--time-limit`';

/** Longest that a plug-in may take to load where nobody says, as for a case [s]. */
export const LOADING_LIMIT = 600;
/** So many threads wait for more of their plug-in. */
const KEPT_THREADS = 8;
/** A plug-in that takes ever more memory ends at this, and not with all there is [MB]. */
const HEAP = 1024;

/**
 * Loads plug-ins in threads, one a module, and throws them away: a module that goes round for ever,
 * waits for ever or ends its process stops a thread and nothing else.
 */
export class PlugInThreads {
  /** [s] */
  readonly #limit: number;
  readonly #threads = new Map<string, Worker>();
  /** Modules whose thread was lost: they are not tried again. */
  readonly #lost = new Map<string, Problem>();

  /** @param limit longest that a plug-in may take [s] */
  constructor(limit: number) {
    this.#limit = limit;
  }

  /**
   * Loads a plug-in, and makes a strategy with its parameters.
   * @returns the text of its module
   * @throws InputError naming the module and what is wrong with it
   */
  async source(asked: PlugInAsked): Promise<string> {
    const file = namedFrom(asked.folder, asked.module);
    const before = this.#lost.get(file);
    if (before !== undefined) throw new InputError([before]);
    const worker = this.#threads.get(file) ?? this.#start(file);
    const answer = await this.#answer(worker, asked);
    if ('source' in answer) return answer.source;
    if ('problems' in answer) throw new InputError(answer.problems);
    const lost = { ...answer, file, expected: EXPECTED };
    this.#lost.set(file, lost);
    this.#end(file);
    throw new InputError([lost]);
  }

  /** Ends all threads. */
  end(): void {
    for (const file of [...this.#threads.keys()]) this.#end(file);
  }

  #start(file: string): Worker {
    const bundle = join(packageRoot(), 'dist', 'plug-in-thread.js');
    if (!existsSync(bundle)) throw new DefectError(`no ${bundle}: reinstall the package`);
    if (this.#threads.size >= KEPT_THREADS) this.#end(this.#threads.keys().next().value!);
    const worker = new Worker(bundle, { resourceLimits: { maxOldGenerationSizeMb: HEAP } });
    worker.unref();
    // Its end follows, which is waited for; without a listener an error would be thrown here.
    worker.on('error', () => undefined);
    worker.on('exit', () => {
      if (this.#threads.get(file) === worker) this.#threads.delete(file);
    });
    this.#threads.set(file, worker);
    return worker;
  }

  #end(file: string): void {
    void this.#threads.get(file)?.terminate();
    this.#threads.delete(file);
  }

  /** A problem where the thread has no answer. */
  #answer(worker: Worker, asked: PlugInAsked): Promise<PlugInAnswer | Problem> {
    return new Promise((resolve) => {
      const end = (answer: PlugInAnswer | Problem) => {
        clearTimeout(timer);
        worker.off('message', end).off('error', failed).off('exit', gone);
        resolve(answer);
      };
      const failed = ({ message }: Error) => end({ ...endedEarly(), found: message });
      const gone = () => end(endedEarly());
      const timer = setTimeout(() => end(tooLong(this.#limit)), this.#limit * 1000);
      worker.on('message', end).on('error', failed).on('exit', gone);
      worker.postMessage(asked);
    });
  }
}

function tooLong(limit: number): Problem {
  return {
    code: 'too-long',
    found: `no strategy after ${limit} s`,
    expected: EXPECTED,
    hint: 'does it go round for ever, or wait for what never comes? If it only takes long, allow more: `--time-limit SECONDS`',
  };
}
