import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { InputError, type Problem } from '../config/problem.ts';
import { linesOf } from './lines.ts';
import type { Manifest } from './manifest.ts';
import { FILES } from './output-folder.ts';
import { readManifest } from './read-manifest.ts';
import { countOf } from './shard.ts';

/** A folder with the results of a shard. */
export interface ShardFolder {
  /** As the user gave it */
  readonly folder: string;
  readonly manifest: Manifest;
  readonly k: number;
  readonly n: number;
  /** Cases of the whole study */
  readonly cases: number;
}

/**
 * Reads what the folder of a shard says about itself.
 * @param folder as the user gave it
 * @param problems takes the reasons why it cannot be used
 * @returns undefined with a problem added
 */
export function readShard(folder: string, problems: Problem[]): ShardFolder | undefined {
  const manifest = manifestIn(folder, problems);
  if (manifest === undefined) return undefined;
  const { shard, cases } = manifest;
  if (shard === null) {
    problems.push(
      problem(folder, 'the results of a whole study', 'those of a shard', 'leave it out'),
    );
    return undefined;
  }
  const { k, n, of_cases: all } = shard;
  if (!hasItsRecords(folder, manifest, problems)) return undefined;
  if (countOf({ k, n }, all) === cases) return { folder, manifest, k, n, cases: all };
  problems.push(
    problem(
      join(folder, FILES.manifest),
      `${cases} cases in shard ${k}/${n} of ${all}`,
      `${countOf({ k, n }, all)}`,
      RUN_AGAIN,
    ),
  );
  return undefined;
}

function manifestIn(folder: string, problems: Problem[]): Manifest | undefined {
  try {
    return readManifest(folder);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    problems.push(...error.problems);
    return undefined;
  }
}

/** Whether `results.jsonl` is what the manifest was written with. */
function hasItsRecords(folder: string, manifest: Manifest, problems: Problem[]): boolean {
  const path = join(folder, FILES.records);
  const expected = 'the file as it was written with its manifest';
  if (!existsSync(path)) {
    problems.push(problem(path, 'no such file', expected, RUN_AGAIN));
    return false;
  }
  const hash = createHash('sha256');
  for (const _ of linesOf(path, hash));
  if (hash.digest('hex') === manifest.records_sha256) return true;
  problems.push(problem(path, 'other content than its manifest says', expected, RUN_AGAIN));
  return false;
}

const RUN_AGAIN = 'run the shard again with the same `--out`: finished cases are kept';

function problem(file: string, found: string, expected: string, hint: string): Problem {
  return { code: 'merge', file, found, expected, hint };
}
