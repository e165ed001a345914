import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { globSync } from 'tinyglobby';
import type { JsonDocument } from '../config/document.ts';
import { namedFrom } from '../config/files.ts';
import { InputError } from '../config/problem.ts';
import { parseComposition } from '../cycle/composition.ts';

const PATTERN = /[*?{[]/;

/**
 * Whether an entry stands for all files that fit a pattern. A file that is called so goes first.
 *
 * @param text of the entry
 * @param folder from which it is read
 */
export function isGlob(text: string, folder: string): boolean {
  return PATTERN.test(text) && !existsSync(namedFrom(folder, text));
}

/**
 * The same for a cycle, where a composition such as `2*udds + nycc[0..100]` is no pattern.
 */
export function isCycleGlob(text: string, folder: string): boolean {
  if (!isGlob(text, folder)) return false;
  try {
    return parseComposition(text).parts.some(({ name }) => PATTERN.test(name));
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    // A text with blanks around a plus, or with a cut, was meant to be a composition.
    return !/\s\+\s|\.\./.test(text.replaceAll('../', ''));
  }
}

/**
 * The files that fit a pattern, sorted by their characters' code units, as no locale would have it.
 *
 * @param pattern from the folder: `*`, `?`, `**`, `{a,b}` and `[abc]`
 * @param study whose folder it is, and which is no part of itself
 * @returns paths from the folder
 * @throws InputError if there is none
 */
export function globbed(
  pattern: string,
  { folder, file }: Pick<JsonDocument, 'folder' | 'file'>,
): string[] {
  const found = globSync(pattern, {
    cwd: folder,
    expandDirectories: false,
    onlyFiles: true,
  }).filter((path) => namedFrom(folder, path) !== join(file));
  if (found.length > 0) return found.toSorted((a, b) => (a < b ? -1 : a > b ? 1 : 0));
  throw new InputError([
    {
      code: 'no-match',
      found: JSON.stringify(pattern),
      expected: `a pattern that files fit, from the folder \`${folder}\``,
      hint: 'a pattern has forward slashes; `*` stands for any part of one name, `**` for any folders',
    },
  ]);
}
