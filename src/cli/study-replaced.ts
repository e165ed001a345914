import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { InputError } from '../config/problem.ts';
import { printable } from '../output/problems.ts';
import { counted } from '../output/study-words.ts';
import type { Manifest } from '../study/manifest.ts';
import { FILES } from '../study/output-folder.ts';
import { readManifest } from '../study/read-manifest.ts';
import type { Shard } from '../study/shard.ts';

/** Results that are about to be written. */
export type NewResults = Pick<Manifest, 'study' | 'plan'> & { readonly shard: Shard | null };

/**
 * Says which results in a folder new ones take the place of: a study that was edited takes the place
 * of what it was before.
 *
 * @param folder of this study
 * @param next
 * @returns a line; undefined where there are no results, or the same ones come again
 */
export function replacedWords(folder: string, next: NewResults): string | undefined {
  const path = join(folder, FILES.manifest);
  if (!existsSync(path)) return undefined;
  const before = readable(folder);
  const where = printable(folder);
  if (before === undefined) {
    return `${printable(path)} cannot be read; the results beside it are replaced`;
  }
  const name = printable(next.study);
  if (before.plan !== next.plan) {
    const cases = counted(before.cases, 'case');
    return `${name} has changed since its results in ${where} were written (${cases}): they are replaced`;
  }
  const [then, now] = [shareOf(before.shard), shareOf(next.shard)];
  if (then === now) return undefined;
  return `${where} has the results of ${then} of ${name}: those of ${now} take their place`;
}

/** Whether a folder has the results of just these cases, so that new ones would be the same. */
export function hasSameResults(folder: string, next: NewResults): boolean {
  const before = readable(folder);
  return before?.plan === next.plan && shareOf(before.shard) === shareOf(next.shard);
}

function readable(folder: string): Manifest | undefined {
  try {
    return readManifest(folder);
  } catch (error) {
    if (error instanceof InputError) return undefined;
    throw error;
  }
}

function shareOf(shard: Shard | null): string {
  return shard === null ? 'all cases' : `shard ${shard.k}/${shard.n}`;
}
