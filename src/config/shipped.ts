import { readdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import { isBareName, isFile, namedFrom } from './files.ts';
import { packageRoot } from './package-root.ts';
import { unknownName } from './unknown-name.ts';

/** The case of the example set, by the names that stand for its files. */
export const EXAMPLE = {
  car: 'estate',
  store: 'rim-45',
  strategy: 'coast',
  cycle: 'wltc-class3b',
} as const;

const FOLDERS = {
  car: 'cars',
  store: 'stores',
  strategy: 'strategies',
  study: 'studies',
  tune: 'tunes',
  gates: 'gates',
} as const;

/** What the example set has files of. */
export type ShippedKind = keyof typeof FOLDERS;

/**
 * Finds the file that is meant: a path, or the bare name (no folder, no ending) of a file of the
 * example set. A file of that very name goes first.
 *
 * @param kind of file
 * @param given what the user wrote
 * @param from folder of the file in which it is written; left out for the command line
 * @returns a path
 * @throws InputError for a bare name that stands for nothing, with the names there are
 */
export function shippedPath(kind: ShippedKind, given: string, from?: string): string {
  const path = from === undefined ? given : namedFrom(from, given);
  if (!isBareName(given) || isFile(path)) return path;
  const folder = join(packageRoot(), 'examples', FOLDERS[kind]);
  const names = readdirSync(folder)
    .filter((file) => file.endsWith('.json'))
    .map((file) => basename(file, '.json'))
    .toSorted();
  if (names.includes(given)) return join(folder, `${given}.json`);
  throw unknownName(kind, given, names, 'JSON');
}
