import { readdirSync, statSync } from 'node:fs';
import { basename, extname, join } from 'node:path';
import { packageRoot } from '../config/package-root.ts';
import { InputError, type Problem } from '../config/problem.ts';
import { suggest } from '../config/suggest.ts';

/** The case of the example set, by the names that the options take. */
export const EXAMPLE = {
  car: 'estate',
  store: 'rim-45',
  strategy: 'coast',
  cycle: 'wltc-class3b',
} as const;

const FOLDERS = { car: 'cars', store: 'stores', strategy: 'strategies' } as const;

/** What the example set has files of. */
export type ShippedKind = keyof typeof FOLDERS;

/**
 * Finds the file that is meant by an option: a path, or the bare name (no folder, no ending) of a
 * file of the example set. A file of that very name goes first.
 * @param kind of file
 * @param given what the user wrote
 * @param problems to which an unknown name is added
 * @returns a path; that of an unknown name is what was given
 */
export function shippedPath(kind: ShippedKind, given: string, problems: Problem[]): string {
  const bare = basename(given) === given && extname(given) === '';
  if (!bare || statSync(given, { throwIfNoEntry: false })?.isFile() === true) return given;
  const folder = join(packageRoot(), 'examples', FOLDERS[kind]);
  const names = readdirSync(folder)
    .filter((file) => file.endsWith('.json'))
    .map((file) => basename(file, '.json'))
    .toSorted();
  if (names.includes(given)) return join(folder, `${given}.json`);
  const near = suggest(given, names);
  problems.push({
    code: 'unknown-name',
    file: `--${kind}`,
    found: given,
    expected: `the path of a ${kind} file, or one of the shipped examples ${names.join(', ')}`,
    ...(near === undefined ? {} : { hint: `did you mean \`${near}\`?` }),
  });
  return given;
}

/** @throws InputError if there is any problem */
export function throwIfAny(problems: readonly Problem[]): void {
  if (problems.length > 0) throw new InputError(problems);
}
