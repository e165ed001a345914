import {
  constants,
  copyFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  rmSync,
  statSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import { packageRoot } from './package-root.ts';
import { InputError } from './problem.ts';

/**
 * Copies the example set, with its schemas, into a folder: all of it, or nothing where one of the
 * files is there already.
 *
 * @param target folder; made if there is none
 * @returns the files written, from the target, sorted
 * @throws InputError naming the files in the way, or why the folder cannot be written
 */
export function copyExamples(target: string): string[] {
  const source = join(packageRoot(), 'examples');
  const names = readdirSync(source, { recursive: true, encoding: 'utf8' })
    .filter((name) => statSync(join(source, name)).isFile())
    .toSorted();
  refuseExisting(target, names);
  const written: string[] = [];
  try {
    for (const name of names) {
      const path = join(target, name);
      mkdirSync(dirname(path), { recursive: true });
      copyFileSync(join(source, name), path, constants.COPYFILE_EXCL);
      written.push(path);
    }
  } catch (error) {
    for (const path of written) rmSync(path, { force: true });
    throw cannotWrite(target, error);
  }
  return names;
}

function refuseExisting(target: string, names: readonly string[]): void {
  const there = names.filter((name) => existsSync(join(target, name)));
  if (there.length === 0) return;
  throw new InputError(
    there.map((name) => ({
      code: 'file-exists',
      file: join(target, name),
      found: 'a file of that name',
      expected: 'a folder without the files of the example set: nothing was written',
      hint: 'choose another folder, or move the file away',
    })),
  );
}

function cannotWrite(target: string, error: unknown): unknown {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === undefined) return error;
  return new InputError([
    {
      code: 'cannot-write',
      file: target,
      found: `an error of the file system (${code})`,
      expected: 'a folder that can be written: nothing was kept',
    },
  ]);
}
