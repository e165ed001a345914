import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { versionProblems } from '../config/check-record.ts';
import { DocumentProblems, readDocument, shown } from '../config/document.ts';
import { InputError } from '../config/problem.ts';
import { JOURNAL } from './journal.ts';
import { FILES } from './output-folder.ts';

/** What the manifest of a study says about its results. */
export interface ResultManifest {
  readonly study: string;
  readonly modelVersion: string;
  readonly cases: number;
  readonly cycleShares: Readonly<Record<string, number>> | null;
}

/**
 * Reads the manifest of a study's folder, so far as it is about reading the results.
 *
 * @param folder that `study --out` wrote
 * @throws InputError where there is none, it says that the folder holds a shard, or it is no manifest
 */
export function readManifest(folder: string): ResultManifest {
  const path = join(folder, FILES.manifest);
  if (!existsSync(path)) throw noManifest(folder);
  const document = readDocument(path, 'the manifest of a study');
  const problems = new DocumentProblems(document);
  const { value } = document;
  const manifest: Readonly<Record<string, unknown>> =
    value !== null && typeof value === 'object' ? { ...value } : {};
  const {
    schema_version: version,
    study,
    model_version: modelVersion,
    cases,
    cycle_shares: cycleShares = null,
    shard = null,
  } = manifest;
  const wrong = (key: string, expected: string) =>
    problems.add([key], {
      code: key in manifest ? 'wrong-type' : 'missing-key',
      found: key in manifest ? shown(manifest[key]) : 'no such key',
      expected,
    });
  problems.addOthers(versionProblems(version, { file: path }));
  if (typeof study !== 'string') wrong('study', 'the name of a study');
  if (typeof modelVersion !== 'string') wrong('model_version', 'the version of the model');
  if (!Number.isInteger(cases)) wrong('cases', 'the number of cases');
  if (!isShares(cycleShares)) wrong('cycle_shares', 'an object of shares, or null');
  if (shard !== null) {
    problems.add(['shard'], {
      code: 'shard',
      found: shown(shard),
      expected: 'the whole study',
      hint: 'put the shards together first: `spinledger study --merge DIR... --out DIR`',
    });
  }
  problems.throwIfAny();
  return { study, modelVersion, cases, cycleShares } as ResultManifest;
}

function isShares(value: unknown): boolean {
  if (value === null) return true;
  return (
    typeof value === 'object' &&
    Object.values(value).every((share) => Number.isFinite(share) && share >= 0)
  );
}

function noManifest(folder: string): InputError {
  const unfinished = existsSync(join(folder, JOURNAL));
  return new InputError([
    {
      code: unfinished ? 'not-whole' : 'no-result',
      file: folder,
      found: unfinished ? 'a study that has not ended' : `a folder without a ${FILES.manifest}`,
      expected: 'a folder that `study --out` wrote to its end',
      ...(unfinished && {
        hint: 'run the study again with the same --out: it goes on where it stopped',
      }),
    },
  ]);
}
