import { existsSync, realpathSync } from 'node:fs';
import { InputError } from '../config/problem.ts';

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
 * Refuses to let a file take the place of one that it is made from.
 * @param inputs paths
 * @param flag that names the file, such as `--log`
 * @param out where it is to be written; nothing, or `-` for standard output, replaces nothing
 * @throws InputError
 */
export function refuseToReplace(
  inputs: readonly string[],
  flag: string,
  out: string | undefined,
): void {
  if (out === undefined || out === '-' || !isOneOf(inputs, out)) return;
  throw new InputError([
    {
      code: 'replaces-input',
      file: flag,
      found: `${out}, an input of this command`,
      expected: 'another file, since the result takes the place of what is there',
    },
  ]);
}
