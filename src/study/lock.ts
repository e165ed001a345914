import { randomBytes } from 'node:crypto';
import {
  closeSync,
  fstatSync,
  linkSync,
  openSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { InputError } from '../config/problem.ts';
import { type Holder, holderOf, isRunning, self, worded } from './lock-holder.ts';

/** Name of the lock in the folder of a study. */
export const LOCK = '.lock';
/** What a lock is called before it is one, and when it is no more. */
const ASKING = /^\.lock\.[0-9a-f]{8}\.tmp$/;

/** Time between two signs of life [ms]. */
const BEAT = 5000;
/** On another host a process cannot be looked up: who gives no sign while we look so long is gone [ms]. */
const SILENCE = 60_000;
/** Nor does anyone wait for a sign where the last one is so old, whatever the two clocks say [ms]. */
const LONG_SILENCE = 600_000;
/** Time between two looks at a lock [ms]. */
const LOOK = 1000;
/** More takers than this at the same moment is no chance any more. */
const TRIES = 10;

/** What else a lock is taken with. */
export interface Patience {
  /** Called when a sign has to be waited for: of whom, and how long at most [s] */
  readonly onWait?: (who: string, seconds: number) => void;
  /** Lets so much time pass [ms] */
  readonly pause?: (time: number) => Promise<unknown>;
}

/**
 * Keeps a second process out of a folder. A process that was killed leaves its lock behind: on the
 * same host it is seen to be gone; on another one it is watched, and whoever is alive touches the
 * lock every few seconds. Only whether the time of the lock changes counts, so that hosts whose
 * clocks differ do not take each other for dead.
 */
export class FolderLock {
  readonly #path: string;
  readonly #text: string;
  readonly #beat: NodeJS.Timeout;

  private constructor(path: string, text: string) {
    this.#path = path;
    this.#text = text;
    this.#beat = setInterval(() => this.#giveSign(), BEAT).unref();
  }

  /**
   * @param folder that is there
   * @param patience
   * @throws InputError naming the process that works in it; the errors of the system
   */
  static async take(folder: string, patience: Patience = {}): Promise<FolderLock> {
    const path = join(folder, LOCK);
    const text = `${JSON.stringify(self())}\n`;
    for (let i = 0; i < TRIES; i++) {
      if (placed(path, text)) {
        removeLeftOvers(folder);
        return new FolderLock(path, text);
      }
      const left = await leftBehind(folder, path, patience);
      if (left !== undefined) removeThat(path, left);
    }
    throw inUse(folder, path, holderOf(readIfThere(path) ?? ''));
  }

  /** Lets the next one in. */
  release(): void {
    clearInterval(this.#beat);
    if (readIfThere(this.#path) === this.#text) rmSync(this.#path, { force: true });
  }

  #giveSign(): void {
    const now = new Date();
    try {
      utimesSync(this.#path, now, now);
    } catch {
      // Whoever removed the lock has let others in; what two write into a journal is the same.
    }
  }
}

/**
 * Finds out whether the process that has a lock is gone.
 * @returns text of the lock if so; undefined where it has been released meanwhile
 * @throws InputError where the process is alive
 */
async function leftBehind(
  folder: string,
  path: string,
  { onWait, pause = setTimeout }: Patience,
): Promise<string | undefined> {
  const first = signOf(path);
  if (first === undefined) return undefined;
  const holder = holderOf(first.text);
  if (holder?.host === hostname()) {
    if (isRunning(holder)) throw inUse(folder, path, holder);
    return first.text;
  }
  if (Date.now() - first.time >= LONG_SILENCE) return first.text;
  // A lock without its text may be about to get it.
  const limit = holder === undefined ? BEAT : SILENCE;
  onWait?.(worded(holder), limit / 1e3);
  for (let waited = 0; waited < limit; waited += LOOK) {
    await pause(LOOK);
    const now = signOf(path);
    if (now === undefined) return undefined;
    if (now.text !== first.text || now.time !== first.time) {
      throw inUse(folder, path, holderOf(now.text));
    }
  }
  return first.text;
}

/**
 * What stands in a lock, and when it was last touched [ms]. It is opened for that, since a network
 * file system may answer from memory where a file is only looked at.
 */
function signOf(path: string): { readonly text: string; readonly time: number } | undefined {
  let descriptor: number;
  try {
    descriptor = openSync(path, 'r');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
  try {
    const time = fstatSync(descriptor).mtimeMs;
    return { text: readFileSync(descriptor, 'utf8'), time };
  } finally {
    closeSync(descriptor);
  }
}

/** Removes what processes have left that were killed while they asked for the lock. */
function removeLeftOvers(folder: string): void {
  for (const name of readdirSync(folder)) {
    if (!ASKING.test(name)) continue;
    const path = join(folder, name);
    const sign = signOf(path);
    if (sign === undefined) continue;
    const holder = holderOf(sign.text);
    const isGone =
      holder?.host === hostname() ? !isRunning(holder) : Date.now() - sign.time >= LONG_SILENCE;
    if (isGone) rmSync(path, { force: true });
  }
}

/** Puts a lock there with all of its text at once; false if there is one. */
function placed(path: string, text: string): boolean {
  const own = `${path}.${randomBytes(4).toString('hex')}.tmp`;
  writeFileSync(own, text);
  try {
    return isMade(() => linkSync(own, path));
  } catch (error) {
    // Not every file system has links; without them the text comes a moment after the name.
    if (!NO_LINKS.includes((error as NodeJS.ErrnoException).code ?? '')) throw error;
    return isMade(() => writeFileSync(path, text, { flag: 'wx' }));
  } finally {
    rmSync(own, { force: true });
  }
}

const NO_LINKS = ['EPERM', 'ENOTSUP', 'EOPNOTSUPP', 'ENOSYS', 'EMLINK'];

function isMade(make: () => void): boolean {
  try {
    make();
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
    throw error;
  }
}

/** Removes a dead lock, but not one that a third process has put there in the meantime. */
function removeThat(path: string, text: string): void {
  const aside = `${path}.${randomBytes(4).toString('hex')}.tmp`;
  try {
    renameSync(path, aside);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return;
    throw error;
  }
  const moved = readIfThere(aside);
  if (moved !== undefined && moved !== text) placed(path, moved);
  rmSync(aside, { force: true });
}

function readIfThere(path: string): string | undefined {
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
}

function inUse(folder: string, path: string, holder: Holder | undefined): InputError {
  return new InputError([
    {
      code: 'folder-in-use',
      file: folder,
      found: worded(holder),
      expected: 'a folder that no other process works in',
      hint: `wait for it, or write elsewhere with \`--out FOLDER\`; if it is gone for certain, delete \`${path}\``,
    },
  ]);
}
