import { existsSync, mkdtempSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { InputError } from '../../src/config/problem.ts';
import { FolderLock, LOCK } from '../../src/study/lock.ts';

function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'spinledger-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** Leaves a lock as another process would. */
function leaveLock(folder: string, holder: object, ageSeconds = 0): void {
  const path = join(folder, LOCK);
  writeFileSync(path, JSON.stringify(holder));
  const then = Date.now() / 1e3 - ageSeconds;
  utimesSync(path, then, then);
}

/** Larger than any number that a process gets. */
const NO_PROCESS = 2 ** 30;

describe('the lock of a folder', () => {
  it('keeps a second one out, names who has it, and lets it in afterwards', () => {
    const folder = temporaryFolder();
    const first = FolderLock.take(folder);
    expect(() => FolderLock.take(folder)).toThrow(InputError);
    try {
      FolderLock.take(folder);
    } catch (error) {
      expect((error as InputError).problems[0]?.found).toContain(`process ${process.pid} on`);
    }
    first.release();
    expect(existsSync(join(folder, LOCK))).toBe(false);
    FolderLock.take(folder).release();
  });

  it('is taken from a process of this host that is gone', () => {
    const folder = temporaryFolder();
    leaveLock(folder, { host: hostname(), pid: NO_PROCESS, began: null, since: 'then' });
    const lock = FolderLock.take(folder);
    expect(readFileSync(join(folder, LOCK), 'utf8')).toContain(`"pid":${process.pid},`);
    lock.release();
  });

  it('is taken from a process whose number another one has now', () => {
    const folder = temporaryFolder();
    leaveLock(folder, { host: hostname(), pid: process.pid, began: '1', since: 'then' });
    FolderLock.take(folder).release();
  });

  it('is held on another host as long as there are signs of life, and not for ever', () => {
    const folder = temporaryFolder();
    const holder = { host: 'elsewhere', pid: 1, began: null, since: 'then' };
    leaveLock(folder, holder, 60);
    expect(() => FolderLock.take(folder)).toThrow(InputError);
    leaveLock(folder, holder, 600);
    FolderLock.take(folder).release();
  });

  it('is taken where its text was torn some time ago', () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, LOCK), '{"host":');
    expect(() => FolderLock.take(folder)).toThrow(InputError);
    utimesSync(join(folder, LOCK), 1, 1);
    FolderLock.take(folder).release();
  });

  it('is left alone by one who has lost it', () => {
    const folder = temporaryFolder();
    const first = FolderLock.take(folder);
    leaveLock(folder, { host: 'elsewhere', pid: 1, began: null, since: 'then' });
    first.release();
    expect(existsSync(join(folder, LOCK))).toBe(true);
  });
});
