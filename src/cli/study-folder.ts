import { mkdirSync, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { InputError } from '../config/problem.ts';
import { printable } from '../output/problems.ts';
import { claimFolder, FILES } from '../study/output-folder.ts';
import { type Owner, ownFolder } from '../study/owner.ts';
import { isOneOf } from './same-file.ts';
import { writeErr } from './streams.ts';
import { writeProblem } from './write-problem.ts';

/**
 * Does something with the folder that results go to; without one, with a temporary folder that is
 * gone afterwards. No other process works in it meanwhile.
 *
 * @param out as the user gave it
 * @param owner whose folder it is from then on
 * @param inputs files that none of the results may replace
 * @param work with the folder
 * @param names of the files that are written into it
 * @throws InputError where the folder cannot be used or is another's, and whatever the work throws
 */
export async function inFolder<T>(
  out: string | undefined,
  owner: Owner,
  inputs: readonly string[],
  work: (folder: string) => Promise<T>,
  names: readonly string[] = [FILES.records, FILES.table, FILES.manifest, FILES.made],
): Promise<T> {
  const folder = out ?? temporaryFolder();
  try {
    refuseToReplace(inputs, folder, names);
    const lock = await claimFolder(folder, names, {
      onWait: (who, seconds) => tellWait(folder, who, seconds),
    });
    try {
      ownFolder(folder, owner);
      return await work(folder);
    } finally {
      lock.release();
    }
  } catch (error) {
    throw isOfSystem(error) ? new InputError([writeProblem(error, folder)]) : error;
  } finally {
    if (out === undefined) rmSync(folder, { recursive: true, force: true });
  }
}

/** @throws InputError where none can be made */
function temporaryFolder(): string {
  const place = tmpdir();
  const path = join(place, 'spinledger-study-');
  try {
    return mkdtempSync(path);
  } catch (error) {
    const hint =
      'set TMPDIR to a folder that can be written to, or keep the results: `--out FOLDER`';
    throw new InputError([
      { ...writeProblem(error, path), file: `temporary folder ${place}`, hint },
    ]);
  }
}

/** @param who has the folder, and may be gone */
function tellWait(folder: string, who: string, seconds: number): void {
  const sign = `waiting up to ${seconds} s for a sign of life, without which it is taken over`;
  writeErr(`${printable(folder)} is held by ${printable(who)}: ${sign}\n`);
}

/**
 * Makes the folder of logs.
 * @throws InputError where a file has its name; the errors of the system
 */
export function makeLogsFolder(folder: string): void {
  const path = join(folder, FILES.logs);
  if (statSync(path, { throwIfNoEntry: false })?.isDirectory() === false) {
    throw new InputError([
      {
        code: 'cannot-write',
        file: path,
        found: 'a file',
        expected: 'nothing but a folder of logs under this name',
        hint: 'move it away, or write elsewhere: `--out FOLDER`',
      },
    ]);
  }
  mkdirSync(path, { recursive: true });
}

/** An error of a call to the system, such as a full disk. */
function isOfSystem(error: unknown): boolean {
  return error instanceof Error && 'syscall' in error && 'code' in error;
}

function refuseToReplace(
  inputs: readonly string[],
  folder: string,
  names: readonly string[],
): void {
  const replaced = [...names, FILES.owner]
    .map((name) => join(folder, name))
    .find((path) => isOneOf(inputs, path));
  if (replaced === undefined) return;
  throw new InputError([
    {
      code: 'replaces-input',
      file: '--out',
      found: `${folder}, where \`${replaced}\` is one of its inputs`,
      expected: 'another folder, since results take the place of what is there',
    },
  ]);
}
