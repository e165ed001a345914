import { randomBytes } from 'node:crypto';
import {
  accessSync,
  closeSync,
  constants,
  openSync,
  realpathSync,
  renameSync,
  rmSync,
  type Stats,
  statSync,
} from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { InputError } from '../config/problem.ts';
import { printable } from '../output/problems.ts';
import { Interruption } from './interruption.ts';
import { write } from './streams.ts';
import { writeProblem } from './write-problem.ts';

/**
 * Writes text, piece by piece.
 * @param write
 * @param heed to be waited for now and then where there is much to write: throws Interrupted if a
 *   signal has come
 */
type Fill = (write: (text: string) => void, heed: () => Promise<void>) => void | Promise<void>;

/**
 * Writes a file whole or not at all: to a temporary name in the same folder, which takes the file's
 * place when all is written and is removed when anything fails or the user interrupts. What is no
 * ordinary file (a pipe with a name, a terminal, `/dev/full`) has no such place and is written as it
 * comes.
 * @param path as the user gave it
 * @param fill writes the text
 * @throws InputError where it cannot be written, Interrupted, and whatever `fill` throws
 */
export async function writeWhole(path: string, fill: Fill): Promise<void> {
  const existing = told(path, () => statSync(path, { throwIfNoEntry: false }));
  if (existing !== undefined && !existing.isFile() && !existing.isDirectory()) {
    return writeThrough(path, fill);
  }
  const target = told(path, () => replaceable(path, existing));
  const temporary = join(
    dirname(target),
    `.${basename(target)}.${randomBytes(4).toString('hex')}.tmp`,
  );
  const interruption = new Interruption();
  const heed = () => interruption.heed(`${printable(path)} is not written`);
  try {
    await fillFile(temporary, path, existing, fill, heed);
    await heed();
    told(path, () => renameSync(temporary, target));
  } catch (error) {
    rmSync(temporary, { force: true });
    throw error;
  } finally {
    interruption.end();
  }
}

async function writeThrough(path: string, fill: Fill): Promise<void> {
  const descriptor = told(path, () => openSync(path, 'w'));
  try {
    // Signals end the process at once: there is nothing to clean up.
    await fill(
      (text) => write(descriptor, text, path),
      async () => undefined,
    );
  } finally {
    closeSync(descriptor);
  }
}

async function fillFile(
  temporary: string,
  path: string,
  existing: Stats | undefined,
  fill: Fill,
  heed: () => Promise<void>,
): Promise<void> {
  const mode = existing === undefined ? 0o666 : existing.mode & 0o777;
  const descriptor = told(path, () => openSync(temporary, 'wx', mode));
  try {
    await fill((text) => write(descriptor, text, path), heed);
  } finally {
    told(path, () => closeSync(descriptor));
  }
}

/** The file whose place is taken: that which a link leads to, and only if it could be written. */
function replaceable(path: string, existing: Stats | undefined): string {
  if (path === '') {
    const expected = 'the name of a file';
    throw new InputError([{ code: 'cannot-write', found: 'an empty name', expected }]);
  }
  if (existing === undefined) return path;
  if (existing.isDirectory()) {
    throw new InputError([writeProblem(Object.assign(new Error(), { code: 'EISDIR' }), path)]);
  }
  accessSync(path, constants.W_OK);
  return realpathSync(path);
}

/** Does something with a file and tells its failures in our words. */
function told<T>(path: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (error instanceof InputError) throw error;
    throw new InputError([writeProblem(error, path)]);
  }
}
