import { existsSync, lstatSync, mkdirSync, readdirSync, rmSync, statSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { InputError } from '../config/problem.ts';
import { hasJournal, JOURNAL } from './journal.ts';
import { FolderLock, LOCK, type Patience } from './lock.ts';

/** What is written into the folder of a study. */
export const FILES = {
  owner: 'owner.json',
  records: 'results.jsonl',
  table: 'results.csv',
  manifest: 'manifest.json',
  made: 'made.json',
  logs: 'logs',
} as const;

/** A name that a file has until it is whole; one that is left over was being written when it ended. */
const UNFINISHED = /^\..+\.[0-9a-f]{8}\.tmp$/;
/** So many strange names are listed. */
const LISTED = 5;

/**
 * Makes a folder ready to write results into, and keeps other processes out. It may be new, empty, or
 * one of a study; nothing in it is touched before that is known.
 *
 * @param folder as the user gave it
 * @param names of the files that are going to be written into it, besides its journal
 * @param patience with another process that may be gone
 * @returns the lock, to be released at the end
 * @throws InputError where it is something else, or another process works in it; the errors of the
 *   system where it cannot be made or written to
 */
export async function claimFolder(
  folder: string,
  names: readonly string[],
  patience: Patience,
): Promise<FolderLock> {
  refuseOther(folder, names);
  makeFolder(folder);
  const lock = await FolderLock.take(folder, patience);
  removeUnfinished(folder);
  return lock;
}

/** Removes results, so that a folder with unfinished cases does not look finished. */
export function removeResults(folder: string): void {
  // The manifest says that all is there: it goes first.
  for (const name of [FILES.manifest, FILES.made, FILES.table, FILES.records]) {
    rmSync(join(folder, name), { force: true });
  }
}

/** Where the log of a case is written. */
export function logPath(folder: string, hash: string): string {
  return join(folder, FILES.logs, `${hash}.csv`);
}

/** Makes a folder and those above it; Node's own way turns round for ever where none can be made. */
function makeFolder(folder: string): void {
  if (existsSync(folder)) return;
  // Resolved, since a slash behind a link asks for what it leads to.
  if (lstatSync(resolve(folder), { throwIfNoEntry: false })?.isSymbolicLink()) {
    throw refuse(folder, 'a link that leads nowhere', 'mend the link, or write elsewhere');
  }
  makeFolder(dirname(folder));
  try {
    mkdirSync(folder);
  } catch (error) {
    // Another shard may have made it in the meantime.
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST' || !existsSync(folder)) throw error;
  }
}

/** A folder that is called as one of the files is kept: nobody knows what it is good for. */
function refuseTaken(folder: string, names: readonly string[]): void {
  for (const name of [...names, FILES.owner, JOURNAL, LOCK]) {
    const path = join(folder, name);
    if (!isFolder(path)) continue;
    throw new InputError([
      {
        code: 'cannot-write',
        file: path,
        found: 'a folder',
        expected: 'nothing but a file of results under this name',
        hint: 'move it away, or write elsewhere: `--out FOLDER`',
      },
    ]);
  }
}

function isFolder(path: string): boolean {
  return statSync(path, { throwIfNoEntry: false })?.isDirectory() === true;
}

function refuseOther(folder: string, names: readonly string[]): void {
  if (folder === '') throw refuse('--out', 'an empty name', 'is a variable in it empty?');
  const there = statSync(folder, { throwIfNoEntry: false });
  if (there === undefined) return;
  if (!there.isDirectory()) throw refuse(folder, 'a file', 'write into a folder beside it');
  refuseTaken(folder, names);
  if (hasJournal(folder)) return;
  const others = readdirSync(folder).filter((name) => !isBegun(folder, name));
  if (others.length === 0) return;
  const more = others.length > LISTED ? ' …' : '';
  throw refuse(
    folder,
    `a folder with other things in it: ${others.slice(0, LISTED).join(', ')}${more}`,
    `it has no \`${JOURNAL}\` of a study; name one that is not there yet`,
  );
}

/** What a process leaves behind that was killed before its journal had its first line. */
function isBegun(folder: string, name: string): boolean {
  if (name === JOURNAL) return statSync(join(folder, name)).size === 0;
  return name === LOCK || name === FILES.owner || UNFINISHED.test(name);
}

/** Removes what was being written when a process or a worker ended. */
export function removeUnfinished(folder: string): void {
  const logs = join(folder, FILES.logs);
  for (const place of [folder, logs]) {
    if (!isFolder(place)) continue;
    for (const name of readdirSync(place)) {
      // Those of a lock belong to a process that asks for it at this moment.
      const isLeftOver = UNFINISHED.test(name) && !name.startsWith(LOCK);
      if (isLeftOver) rmSync(join(place, name), { force: true });
    }
  }
}

function refuse(folder: string, found: string, hint: string): InputError {
  return new InputError([
    {
      code: 'output-folder',
      file: folder,
      found,
      expected: 'a new or empty folder, or one with results of a study',
      hint,
    },
  ]);
}
