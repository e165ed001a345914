import { randomBytes } from 'node:crypto';
import {
  linkSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { InputError } from '../config/problem.ts';

/** Name of the lock in the folder of a study. */
export const LOCK = '.lock';

/** A process that works in a folder. */
interface Holder {
  readonly host: string;
  readonly pid: number;
  /** When the process began, in the system's own count; null where the system does not tell */
  readonly began: string | null;
  /** For people */
  readonly since: string;
}

/** Time between two signs of life [ms]. */
const BEAT = 15_000;
/** On another host a process cannot be looked up: without a sign for so long it is gone [ms]. */
const SILENCE = 180_000;
/** More takers than this at the same moment is no chance any more. */
const TRIES = 10;

/**
 * Keeps a second process out of a folder. A process that was killed leaves its lock behind: on the
 * same host it is seen to be gone, on another one it has stopped to give signs of life.
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
   * @throws InputError naming the process that works in it; the errors of the system
   */
  static take(folder: string): FolderLock {
    const path = join(folder, LOCK);
    const text = `${JSON.stringify(self())}\n`;
    for (let i = 0; i < TRIES; i++) {
      if (placed(path, text)) return new FolderLock(path, text);
      const found = readIfThere(path);
      if (found === undefined) continue;
      const holder = holderOf(found);
      if (isAlive(path, holder)) throw inUse(folder, path, holder);
      removeThat(path, found);
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
  if (readIfThere(aside) !== text) placed(path, readFileSync(aside, 'utf8'));
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

function self(): Holder {
  const { pid } = process;
  return { host: hostname(), pid, began: beganAt(pid), since: new Date().toISOString() };
}

function holderOf(text: string): Holder | undefined {
  try {
    const { host, pid, began, since } = JSON.parse(text) as Partial<Holder>;
    if (typeof host !== 'string' || typeof pid !== 'number') return undefined;
    return { host, pid, began: began ?? null, since: since ?? '' };
  } catch {
    return undefined;
  }
}

function isAlive(path: string, holder: Holder | undefined): boolean {
  const silence = Date.now() - (statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? 0);
  // A lock without its text may be about to get it.
  if (holder === undefined) return silence < BEAT;
  const { host, pid, began } = holder;
  if (host !== hostname()) return silence < SILENCE;
  // The number of a process is given again, in a container soon: to us, or to a stranger.
  if (began !== null && beganAt(pid) !== began) return false;
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

/** When a process began, in ticks since the system did; null where there is no /proc, or no process. */
function beganAt(pid: number): string | null {
  try {
    const text = readFileSync(`/proc/${pid}/stat`, 'utf8');
    // The second field is the program's name, which may hold blanks and parentheses.
    return text.slice(text.lastIndexOf(')') + 2).split(' ')[19] ?? null;
  } catch {
    return null;
  }
}

function inUse(folder: string, path: string, holder: Holder | undefined): InputError {
  const who =
    holder === undefined
      ? 'other processes that take it at this moment'
      : `process ${holder.pid} on ${holder.host}, which works in it since ${holder.since}`;
  return new InputError([
    {
      code: 'folder-in-use',
      file: folder,
      found: who,
      expected: 'a folder that no other process works in',
      hint: `wait for it, or write elsewhere with \`--out FOLDER\`; if it is gone for certain, delete \`${path}\``,
    },
  ]);
}
