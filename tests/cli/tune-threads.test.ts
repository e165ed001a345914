import type { Worker } from 'node:worker_threads';
import { describe, expect, it, onTestFinished } from 'vitest';
import { tune } from '../../src/cli/tune-run.ts';
import { HILLS, SMALL, writtenTune } from '../tune/tunes.ts';

const PLUG_IN = `export default ({ share }) => ({
  name: 'half',
  decide(see, want) { want.storePower = share * see.assistLimit; },
});`;

/** A tune of a number of a plug-in, which is tried in a thread. */
const WITH_PLUG_IN = {
  ...SMALL,
  strategy: { name: 'half', plugin: { module: './half.mjs', parameters: { share: 0.5 } } },
  vary: [{ path: 'strategy.plugin.parameters.share', from: 0, to: 1 }],
  budget: { evaluations: 1 },
};

const OPTIONS = { jobs: 1, timeLimit: 600, format: 'none' } as const;

/** The threads that are started from now on, each with the promise of its end. */
function threadsFromNow(): Promise<unknown>[] {
  const ends: Promise<unknown>[] = [];
  const note = (thread: Worker) => {
    ends.push(new Promise((resolve) => thread.once('exit', resolve)));
  };
  process.on('worker', note);
  onTestFinished(() => void process.off('worker', note));
  return ends;
}

describe('the threads of a tune with a plug-in', () => {
  it.each([
    ['is done', {}, undefined],
    ['is refused', { held_back: [HILLS] }, 'held-back-tuned'],
  ])('have ended when it %s', async (_what, change, code) => {
    const path = writtenTune({ ...WITH_PLUG_IN, ...change }, { 'half.mjs': PLUG_IN });
    const ends = threadsFromNow();
    const done = tune(path, OPTIONS);
    if (code === undefined) await done;
    else await expect(done).rejects.toMatchObject({ problems: [{ code }] });
    expect(ends.length).toBeGreaterThan(0);
    // A thread that waits for more of its plug-in never ends, nor would this test.
    await Promise.all(ends);
  });
});
