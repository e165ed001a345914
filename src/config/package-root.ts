import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { DefectError } from './problem.ts';

let found: string | undefined;

/**
 * Folder of the installed package, where `cycles` and `examples` lie: the nearest folder above this
 * module whose package.json carries our name, both from the sources and from the bundle.
 *
 * @throws DefectError where there is none: the package is not complete
 */
export function packageRoot(): string {
  found ??= search(dirname(fileURLToPath(import.meta.url)));
  return found;
}

function search(from: string): string {
  for (let folder = from; ; folder = dirname(folder)) {
    if (nameOf(folder) === 'spinledger') return folder;
    if (folder === dirname(folder)) {
      throw new DefectError(`no package.json of spinledger above ${from}: reinstall the package`);
    }
  }
}

function nameOf(folder: string): unknown {
  try {
    return JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')).name;
  } catch {
    return undefined;
  }
}
