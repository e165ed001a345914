import { existsSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { versionProblems } from '../config/check-record.ts';
import { DocumentProblems, readDocument, shown } from '../config/document.ts';
import { InputError, type Problem } from '../config/problem.ts';
import { JOURNAL } from './journal.ts';
import type { Manifest } from './manifest.ts';
import { FILES } from './output-folder.ts';

/** What each key of a manifest has to be: whether a value is that, and in words. */
const KEYS: Readonly<
  Record<Exclude<keyof Manifest, 'schema_version'>, readonly [(value: unknown) => boolean, string]>
> = {
  tool: [isText, 'the name and version of the program'],
  model_version: [isText, 'the version of the model'],
  study: [isText, 'the name of a study'],
  plan: [isText, 'the digest of a plan'],
  cases: [isCount, 'the number of cases'],
  done: [isCount, 'the number of cases that ran'],
  failed: [isCount, 'the number of cases that failed'],
  varied: [(value) => Array.isArray(value) && value.every(isText), 'a list of paths'],
  cycle_shares: [(value) => value === null || isShares(value), 'an object of shares, or null'],
  outputs: [isObject, 'an object'],
  inputs: [Array.isArray, 'a list of inputs'],
  records_sha256: [isText, `the digest of ${FILES.records}`],
  shard: [(value) => value === null || isShard(value), 'k, n and of_cases of a shard, or null'],
};

/**
 * Reads the manifest of a study's folder.
 *
 * @param folder as the user gave it
 * @throws InputError where there is none, which says why, or it is no manifest
 */
export function readManifest(folder: string): Manifest {
  const path = join(folder, FILES.manifest);
  if (!existsSync(path)) throw new InputError([noManifest(folder)]);
  const document = readDocument(path, 'the manifest of a study');
  const value: Readonly<Record<string, unknown>> = isObject(document.value) ? document.value : {};
  const problems = new DocumentProblems(document);
  // Of what another version wrote, no key is known.
  const { schema_version: version } = value;
  problems.addOthers(versionProblems(version, { file: path }));
  problems.throwIfAny();
  for (const [key, [isRight, expected]] of Object.entries(KEYS)) {
    if (isRight(value[key])) continue;
    const isThere = Object.hasOwn(value, key);
    problems.add([key], {
      code: isThere ? 'wrong-type' : 'missing-key',
      found: isThere ? shown(value[key]) : 'no such key',
      expected,
    });
  }
  problems.throwIfAny();
  return value as unknown as Manifest;
}

function noManifest(folder: string): Problem {
  const problem = { file: folder, expected: 'a folder that `study --out` wrote to its end' };
  if (existsSync(join(folder, JOURNAL))) {
    return {
      ...problem,
      code: 'not-whole',
      found: 'a study that has not ended',
      hint: 'run the study again with the same `--out`: it goes on where it stopped',
    };
  }
  const isFolder = statSync(folder, { throwIfNoEntry: false })?.isDirectory() === true;
  const other = existsSync(folder) ? 'a file' : 'no such folder';
  return {
    ...problem,
    code: 'no-result',
    found: isFolder ? `a folder without ${FILES.manifest}` : other,
    hint: 'name the `--out` folder of a study',
  };
}

function isText(value: unknown): boolean {
  return typeof value === 'string';
}

function isCount(value: unknown): boolean {
  return Number.isSafeInteger(value) && (value as number) >= 0;
}

function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return value !== null && typeof value === 'object' && !Array.isArray(value);
}

function isShares(value: unknown): boolean {
  return (
    isObject(value) &&
    Object.values(value).every((share) => Number.isFinite(share) && (share as number) >= 0)
  );
}

function isShard(value: unknown): boolean {
  if (!isObject(value)) return false;
  const { k, n, of_cases: cases } = value;
  return [k, n, cases].every(isCount) && (k as number) >= 1 && (k as number) <= (n as number);
}
