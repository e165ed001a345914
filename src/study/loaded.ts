import { setTimeout } from 'node:timers/promises';

/** A flag for each of so many threads; more of them at a time there never are. */
const FLAGS = 4096;
/** Longest that anyone waits for a thread to load, and time between two looks [ms]. */
const PATIENCE = 2000;
const LOOK = 2;

/** Which threads have loaded their program, as numbers that threads share. */
export class Loaded {
  /** For `tellLoaded` in the threads */
  readonly flags = new Uint8Array(new SharedArrayBuffer(FLAGS));

  /**
   * Waits until threads have loaded. One that is ended while its modules are put together takes the
   * whole process with it, in Node 20 at least.
   * @param threads numbers of those that are meant, asked again at each look
   */
  async wait(threads: () => readonly number[]): Promise<void> {
    const begun = performance.now();
    while (performance.now() - begun < PATIENCE) {
      if (threads().every((thread) => Atomics.load(this.flags, thread % FLAGS) === 1)) return;
      await setTimeout(LOOK);
    }
  }
}

/** Says in a thread that it has loaded. */
export function tellLoaded(flags: Uint8Array, thread: number): void {
  Atomics.store(flags, thread % FLAGS, 1);
}
