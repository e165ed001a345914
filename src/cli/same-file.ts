import { existsSync, realpathSync, statSync } from 'node:fs';
import { basename, dirname, join, sep } from 'node:path';
import { InputError, type Problem } from '../config/problem.ts';

/**
 * Whether a path leads to the same file as one of others, links followed: what is written there
 * would take the place of what it is made from.
 */
export function isOneOf(paths: readonly string[], path: string): boolean {
  const target = realPath(path);
  return target !== undefined && paths.some((other) => realPath(other) === target);
}

/** Where a path leads to; undefined if there is nothing. */
function realPath(path: string): string | undefined {
  return existsSync(path) ? realpathSync(path) : undefined;
}

/**
 * Refuses to let a file take the place of one that it is made from, or lie among them.
 * @param inputs paths of files, and of folders that are inputs with all that is in them
 * @param flag that names the file, such as `--log`
 * @param out where it is to be written; nothing, or `-` for standard output, replaces nothing
 * @throws InputError
 */
export function refuseToReplace(
  inputs: readonly string[],
  flag: string,
  out: string | undefined,
): void {
  if (out === undefined || out === '-') return;
  const problem: Problem = {
    code: 'replaces-input',
    file: flag,
    expected: 'another file, since the result takes the place of what is there',
  };
  if (isOneOf(inputs, out)) {
    throw new InputError([{ ...problem, found: `${out}, an input of this command` }]);
  }
  const folder = inputs.find((input) => isWithin(input, out));
  if (folder === undefined) return;
  throw new InputError([
    {
      ...problem,
      found: `${out}, in the folder ${folder}, an input of this command`,
      expected: 'a file elsewhere, since nothing in a folder of results may change',
    },
  ]);
}

/** Whether a path leads into a folder; it need not be there yet. */
function isWithin(folder: string, path: string): boolean {
  if (statSync(folder, { throwIfNoEntry: false })?.isDirectory() !== true) return false;
  const above = realPath(dirname(path));
  const target = realPath(path) ?? (above === undefined ? undefined : join(above, basename(path)));
  return target?.startsWith(`${realpathSync(folder)}${sep}`) === true;
}
