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
import { Interrupted } from './interrupted.ts';
import { write } from './streams.ts';
import { writeProblem } from './write-problem.ts';

/**
 * Writes a file whole or not at all: to a temporary name in the same folder, which takes the file's
 * place when all is written and is removed when anything fails or the user interrupts. What is no
 * ordinary file (a pipe with a name, a terminal, `/dev/full`) has no such place and is written as it
 * comes.
 * @param path as the user gave it
 * @param fill writes the text, piece by piece
 * @throws InputError where it cannot be written, Interrupted, and whatever `fill` throws
 */
export async function writeWhole(
  path: string,
  fill: (write: (text: string) => void) => void,
): Promise<void> {
  const existing = told(path, () => statSync(path, { throwIfNoEntry: false }));
  if (existing !== undefined && !existing.isFile() && !existing.isDirectory()) {
    writeThrough(path, fill);
    return;
  }
  const target = told(path, () => replaceable(path, existing));
  const temporary = join(
    dirname(target),
    `.${basename(target)}.${randomBytes(4).toString('hex')}.tmp`,
  );
  const signals = listen();
  try {
    fillFile(temporary, path, existing, fill);
    // Signals that came while the text was made wait for the event loop: two turns from here, it has
    // been through all of its phases.
    await turn();
    await turn();
    signals.throwIfAny();
    told(path, () => renameSync(temporary, target));
  } catch (error) {
    rmSync(temporary, { force: true });
    throw error;
  } finally {
    signals.end();
  }
}

/** One turn of the event loop. */
function turn(): Promise<void> {
  return new Promise((resolve) => setImmediate(resolve));
}

function writeThrough(path: string, fill: (write: (text: string) => void) => void): void {
  const descriptor = told(path, () => openSync(path, 'w'));
  try {
    fill((text) => write(descriptor, text, path));
  } finally {
    closeSync(descriptor);
  }
}

function fillFile(
  temporary: string,
  path: string,
  existing: Stats | undefined,
  fill: (write: (text: string) => void) => void,
): void {
  const mode = existing === undefined ? 0o666 : existing.mode & 0o777;
  const descriptor = told(path, () => openSync(temporary, 'wx', mode));
  try {
    fill((text) => write(descriptor, text, path));
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

/** Notes signals that would end the process at once, and leave a temporary file behind. */
function listen() {
  let caught: 'SIGINT' | 'SIGTERM' | undefined;
  const note = (signal: NodeJS.Signals) => {
    caught ??= signal === 'SIGTERM' ? 'SIGTERM' : 'SIGINT';
  };
  process.on('SIGINT', note).on('SIGTERM', note);
  return {
    throwIfAny(): void {
      if (caught !== undefined) throw new Interrupted(caught);
    },
    end(): void {
      process.off('SIGINT', note).off('SIGTERM', note);
    },
  };
}
