import {
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { FolderLock, LOCK, type Patience } from '../../src/study/lock.ts';
import { problemsOf } from '../config/drafts.ts';

function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'spinledger-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** Leaves a lock as another process would. */
function leaveLock(folder: string, holder: object, ageSeconds = 0, name = LOCK): void {
  const path = join(folder, name);
  writeFileSync(path, JSON.stringify(holder));
  const then = Date.now() / 1e3 - ageSeconds;
  utimesSync(path, then, then);
}

/** Larger than any number that a process gets. */
const NO_PROCESS = 2 ** 30;

const ELSEWHERE = { host: 'elsewhere', pid: 1, began: null, since: 'then' };

async function refusal(taking: Promise<unknown>): Promise<string> {
  const [problem] = await problemsOf(taking);
  return String(problem?.found);
}

/** Time that passes without anyone having to wait for it. */
class Time {
  /** [ms] */
  passed = 0;
  readonly said: string[] = [];
  readonly patience: Patience;

  /** @param happens what others do when so much time has passed [ms] */
  constructor(happens: (passed: number) => void = () => undefined) {
    this.patience = {
      onWait: (who, seconds) => this.said.push(`${who}, ${seconds} s`),
      pause: async (time) => {
        this.passed += time;
        happens(this.passed);
      },
    };
  }
}

describe('the lock of a folder', () => {
  it('keeps a second one out, names who has it, and lets it in afterwards', async () => {
    const folder = temporaryFolder();
    const first = await FolderLock.take(folder);
    const time = new Time();
    expect(await refusal(FolderLock.take(folder, time.patience))).toContain(
      `process ${process.pid} on`,
    );
    expect(time.passed).toBe(0);
    first.release();
    expect(existsSync(join(folder, LOCK))).toBe(false);
    (await FolderLock.take(folder)).release();
  });

  it('is taken at once from a process of this host that is gone', async () => {
    const folder = temporaryFolder();
    leaveLock(folder, { host: hostname(), pid: NO_PROCESS, began: null, since: 'then' });
    const time = new Time();
    const lock = await FolderLock.take(folder, time.patience);
    expect(time.passed).toBe(0);
    expect(readFileSync(join(folder, LOCK), 'utf8')).toContain(`"pid":${process.pid},`);
    lock.release();
  });

  it('is taken from a process whose number another one has now', async () => {
    const folder = temporaryFolder();
    leaveLock(folder, { host: hostname(), pid: process.pid, began: '1', since: 'then' });
    (await FolderLock.take(folder)).release();
  });

  it('is waited for where a process on another host has just been killed, and then taken', async () => {
    const folder = temporaryFolder();
    leaveLock(folder, ELSEWHERE);
    const time = new Time();
    const lock = await FolderLock.take(folder, time.patience);
    expect(time.said).toEqual(['process 1 on elsewhere, which works in it since then, 60 s']);
    expect(time.passed).toBe(60_000);
    lock.release();
  });

  it.each([
    ['before ours', 120],
    ['behind ours', -120],
  ])('is held on another host that gives signs of life by a clock %s', async (_what, ahead) => {
    const folder = temporaryFolder();
    leaveLock(folder, ELSEWHERE, -ahead);
    const time = new Time((passed) => {
      if (passed % 5000 === 0) leaveLock(folder, ELSEWHERE, -ahead - passed / 1000);
    });
    expect(await refusal(FolderLock.take(folder, time.patience))).toContain('process 1 on');
    expect(time.passed).toBe(5000);
  });

  it('is taken where the one that is waited for lets it go, and not where another takes it', async () => {
    const folder = temporaryFolder();
    leaveLock(folder, ELSEWHERE);
    const released = new Time(() => rmSync(join(folder, LOCK)));
    (await FolderLock.take(folder, released.patience)).release();
    expect(released.passed).toBe(1000);
    leaveLock(folder, ELSEWHERE);
    const taken = new Time(() => leaveLock(folder, { ...ELSEWHERE, pid: 2 }));
    expect(await refusal(FolderLock.take(folder, taken.patience))).toContain('process 2 on');
  });

  it('is not waited for where the last sign is old', async () => {
    const folder = temporaryFolder();
    leaveLock(folder, ELSEWHERE, 601);
    const time = new Time();
    (await FolderLock.take(folder, time.patience)).release();
    expect([time.passed, time.said]).toEqual([0, []]);
  });

  it('is taken where its text is torn and stays so', async () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, LOCK), '{"host":');
    const time = new Time();
    (await FolderLock.take(folder, time.patience)).release();
    expect(time.passed).toBe(5000);
    writeFileSync(join(folder, LOCK), '{"host":');
    const written = new Time(() => leaveLock(folder, ELSEWHERE));
    expect(await refusal(FolderLock.take(folder, written.patience))).toContain('process 1 on');
  });

  it('is left alone by one who has lost it', async () => {
    const folder = temporaryFolder();
    const first = await FolderLock.take(folder);
    leaveLock(folder, ELSEWHERE);
    first.release();
    expect(existsSync(join(folder, LOCK))).toBe(true);
  });

  it('clears away what was left by those that were killed while they asked for it', async () => {
    const folder = temporaryFolder();
    const here = { host: hostname(), began: null, since: 'then' };
    leaveLock(folder, { ...here, pid: NO_PROCESS }, 0, '.lock.00000001.tmp');
    leaveLock(folder, { ...here, pid: process.pid }, 0, '.lock.00000002.tmp');
    leaveLock(folder, ELSEWHERE, 601, '.lock.00000003.tmp');
    leaveLock(folder, ELSEWHERE, 0, '.lock.00000004.tmp');
    leaveLock(folder, { ...here, pid: NO_PROCESS }, 0, '.lock.mine.tmp');
    const lock = await FolderLock.take(folder);
    expect(readdirSync(folder).toSorted()).toEqual([
      '.lock',
      '.lock.00000002.tmp',
      '.lock.00000004.tmp',
      '.lock.mine.tmp',
    ]);
    lock.release();
  });
});
