import { describe, expect, it, onTestFinished } from 'vitest';
import { DefectError } from '../../src/config/problem.ts';
import { NO_CASE } from '../../src/study/case-clock.ts';
import { Journal } from '../../src/study/journal.ts';
import type { ChunkEnd } from '../../src/study/pool.ts';
import { recordsOf } from '../../src/study/records.ts';
import { type Progress, runCases, type Workers } from '../../src/study/work.ts';
import { folderWith, problemsOf } from '../config/drafts.ts';
import { ONE, planOf } from './planned.ts';

/** Works off a study of two cycles with a pool whose every chunk ends in the same way. */
async function workWith(end: ChunkEnd, limit = 7) {
  const plan = await planOf({ ...ONE, cycles: ['udds', 'nycc'] });
  const folder = folderWith({});
  const journal = await Journal.open(folder);
  onTestFinished(() => journal.close());
  const pool: Workers = {
    jobs: 1,
    limit,
    alone: 7,
    run: async () => end,
    stop: () => undefined,
    end: async () => undefined,
  };
  const work: Promise<Progress> = runCases(plan, [0, 1], folder, journal, pool, {
    failFast: false,
    signal: new AbortController().signal,
    onFinished: () => undefined,
  });
  const records = () => [...recordsOf(plan, undefined, journal)].map((line) => JSON.parse(line));
  return { work, records };
}

const LOST = { kind: 'lost', message: 'The task has been aborted' } as const;

describe('work whose workers are lost', () => {
  it('is the fault of the input, not of the program, if they are late to begin', async () => {
    const { work } = await workWith({ ...LOST, at: NO_CASE, why: 'late' });
    expect(await problemsOf(work)).toMatchObject([
      { code: 'too-long', file: 'the workers', hint: expect.stringContaining('--jobs') },
    ]);
  });

  it('is a defect if they end by themselves before they begin', async () => {
    const { work } = await workWith({ ...LOST, at: NO_CASE, why: 'ended' });
    await expect(work).rejects.toThrow(DefectError);
  });

  it('has those cases fail that are late', async () => {
    const { work, records } = await workWith({ ...LOST, at: 0, why: 'late' });
    expect(await work).toMatchObject({ finished: 2, failed: 2 });
    expect(records().map(({ state, error }) => [state, error.kind, error.message])).toEqual(
      Array(2).fill(['failed', 'input', expect.stringContaining('no result after 7 s, expected')]),
    );
  });

  it('tells the time that a late case really had, where it shared a core with others', async () => {
    const { work, records } = await workWith({ ...LOST, at: 0, why: 'late' }, 70 / 3);
    await work;
    expect(records()[0].error.message).toContain(
      'no result after 23.3 s, which stand for 7 s where a case has a core to itself',
    );
  });
});
