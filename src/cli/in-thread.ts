import { isMainThread, Worker } from 'node:worker_threads';
import { Interruption } from './interruption.ts';
import { writeErr } from './streams.ts';

/**
 * Runs work that never pauses in a thread of its own, by the same command line, so that this thread
 * can listen to signals meanwhile. In that thread the work itself is run, and its status becomes that of
 * the process.
 * @param work
 * @param interrupted what is told of an interruption
 * @throws Interrupted, or whatever the work throws where it runs
 */
export async function inThread(work: () => Promise<void>, interrupted: string): Promise<void> {
  if (!isMainThread) return work();
  const interruption = new Interruption();
  // The bundle is one file, and its main function takes the arguments of the thread.
  const thread = new Worker(new URL(import.meta.url), { argv: process.argv.slice(2) });
  interruption.signal.addEventListener('abort', () => void thread.terminate());
  try {
    const status = await new Promise<number>((resolve, reject) => {
      thread.once('exit', resolve).once('error', reject);
    });
    if (interruption.signal.aborted) writeErr(`interrupted: ${interrupted}\n`);
    interruption.throwIfAny();
    process.exitCode = status;
  } finally {
    interruption.end();
  }
}
