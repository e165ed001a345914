import { isMainThread, parentPort, Worker } from 'node:worker_threads';
import { Interruption } from './interruption.ts';
import { ProgressLine } from './progress-line.ts';

/**
 * Told now and then how much of long work is done, from 0 to 1; then, where files are written, that it
 * is at that, and is not to be ended half-way.
 */
export type Progress = (done: number | 'writing') => void;

/** What is told of the work meanwhile. */
export interface Words {
  /** How far it is, in a line, for a time since it began [ms] */
  readonly progress: (share: number, elapsed: number) => string;
  readonly interrupted: string;
}

/**
 * Runs work that never pauses in a thread of its own, by the same command line, so that this thread
 * can listen to signals and tell how far it is meanwhile. In that thread the work itself is run, and its
 * status becomes that of the process.
 * @param work
 * @param words
 * @throws Interrupted, or whatever the work throws where it runs
 */
export async function inThread(
  work: (told: Progress) => Promise<void>,
  { progress, interrupted }: Words,
): Promise<void> {
  if (!isMainThread) return work((now) => parentPort?.postMessage(now));
  const interruption = new Interruption();
  let done = 0;
  let isWriting = false;
  let isEnded = false;
  const line = new ProgressLine((elapsed) => progress(done, elapsed));
  // The bundle is one file, and its main function takes the arguments of the thread.
  const thread = new Worker(new URL(import.meta.url), { argv: process.argv.slice(2) });
  thread.on('message', (now: Parameters<Progress>[0]) => {
    if (now === 'writing') isWriting = true;
    else done = now;
    // What the thread prints now must not come behind the line.
    if (done === 1) line.end();
  });
  interruption.signal.addEventListener('abort', () => {
    if (isWriting) return;
    isEnded = true;
    void thread.terminate();
  });
  try {
    const status = await new Promise<number>((resolve, reject) => {
      thread.once('exit', resolve).once('error', reject);
    });
    if (isEnded) interruption.throwIfAny(interrupted);
    process.exitCode = status;
  } finally {
    line.end();
    interruption.end();
  }
}
