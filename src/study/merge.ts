import { existsSync, realpathSync } from 'node:fs';
import { join } from 'node:path';
import { InputError, type Problem, throwIfAny } from '../config/problem.ts';
import { linesOf } from './lines.ts';
import type { Manifest } from './manifest.ts';
import { FILES } from './output-folder.ts';
import { readShard, type ShardFolder } from './shard-folder.ts';

/** Shards that make a whole study. */
export interface Merge {
  /** By their numbers */
  readonly shards: readonly ShardFolder[];
  /** Of the whole study, but for the digest of records that have yet to be put together */
  readonly manifest: Omit<Manifest, 'records_sha256'>;
}

/**
 * Looks whether folders are the shards of one study, each of them once.
 *
 * @param folders as the user gave them, in any order
 * @throws InputError with every reason why they cannot be merged
 */
export function planMerge(folders: readonly string[]): Merge {
  const problems: Problem[] = [...doubledFolders(folders)];
  const shards = folders.flatMap((folder) => {
    const shard = readShard(folder, problems);
    return shard === undefined ? [] : [shard];
  });
  throwIfAny(problems);
  const [first] = shards;
  if (first === undefined) throw refuse('--merge', 'no folder', 'folders of shards', 'name them');
  throwIfAny(shards.flatMap((other) => foreign(first, other)));
  throwIfAny([...doubled(shards), ...missing(first, shards)]);
  const { records_sha256: _, ...common } = first.manifest;
  const sorted = shards.toSorted((a, b) => a.k - b.k);
  const sum = (of: (manifest: Manifest) => number) =>
    shards.reduce((total, { manifest }) => total + of(manifest), 0);
  return {
    shards: sorted,
    manifest: {
      ...common,
      cases: first.cases,
      done: sum(({ done }) => done),
      failed: sum(({ failed }) => failed),
      shard: null,
    },
  };
}

/**
 * The lines of all shards without their ends, in the order of the whole study: case by case, one
 * shard after the other.
 * @throws InputError where a shard does not have the lines that its manifest promises
 */
export function* mergedRecords({ shards, manifest }: Merge): Generator<string> {
  const readers = shards.map(({ folder }) => linesOf(join(folder, FILES.records)));
  try {
    for (let index = 0; index < manifest.cases; index++) {
      const at = index % readers.length;
      const { value, done } = readers[at]!.next();
      if (done === true || !value.isWhole) throw otherLines(shards[at]!, 'fewer');
      yield value.bytes.toString('utf8');
    }
    const longer = readers.findIndex((reader) => reader.next().done !== true);
    if (longer >= 0) throw otherLines(shards[longer]!, 'more');
  } finally {
    for (const reader of readers) reader.return(undefined);
  }
}

function otherLines({ folder, manifest }: ShardFolder, which: string): InputError {
  return refuse(
    join(folder, FILES.records),
    `${which} cases than its manifest says`,
    `${manifest.cases} lines, each with its end`,
    'was it copied whole? If so, run the shard again with the same `--out`: nothing is simulated anew',
  );
}

function doubledFolders(folders: readonly string[]): readonly Problem[] {
  const known = new Map<string, string>();
  return folders.flatMap((folder) => {
    if (!existsSync(folder)) return [];
    const place = realpathSync(folder);
    const before = known.get(place);
    known.set(place, folder);
    if (before === undefined) return [];
    const found = `the same folder as \`${before}\``;
    return refuse(folder, found, 'each folder once', 'name it once').problems;
  });
}

/** Whether two shards are none of one study, run by one program. */
function foreign(first: ShardFolder, other: ShardFolder): readonly Problem[] {
  const a = first.manifest;
  const b = other.manifest;
  const differ = (found: string, expected: string, hint: string) =>
    refuse(other.folder, found, `${expected}, as \`${first.folder}\` has`, hint).problems;
  if (a.tool !== b.tool || a.model_version !== b.model_version) {
    return differ(
      `results of ${b.tool}, model version ${b.model_version}`,
      `those of ${a.tool}, model version ${a.model_version}`,
      'run the older shards again with the newer program, into new folders',
    );
  }
  if (a.plan !== b.plan) {
    return differ(
      `a shard of another study: ${b.study}, plan ${b.plan}`,
      `the study ${a.study}, plan ${a.plan}`,
      'leave the folder out; if the study or its files were edited in between, run the shards again',
    );
  }
  if (first.n !== other.n) {
    return differ(
      `shard ${other.k}/${other.n}`,
      `one of ${first.n} shards`,
      'merge shards of one division; finished cases are kept if a folder is run as another shard',
    );
  }
  return [];
}

function doubled(shards: readonly ShardFolder[]): readonly Problem[] {
  const known = new Map<number, string>();
  return shards.flatMap(({ folder, k, n }) => {
    const before = known.get(k);
    known.set(k, folder);
    if (before === undefined) return [];
    const found = `shard ${k}/${n}, as in \`${before}\``;
    return refuse(folder, found, 'each shard once', 'leave one of the two folders out').problems;
  });
}

function missing({ n }: ShardFolder, shards: readonly ShardFolder[]): readonly Problem[] {
  const there = new Set(shards.map(({ k }) => k));
  const absent = Array.from({ length: n }, (_, i) => i + 1).filter((k) => !there.has(k));
  if (absent.length === 0) return [];
  const folders = shards.map(({ folder, k }) => `${folder} (${k}/${n})`).join(', ');
  return refuse(
    '--merge',
    `no shard ${absent.map((k) => `${k}/${n}`).join(', ')}; there are ${folders}`,
    `all ${n} shards of the study`,
    `name its folder, or run it: \`--shard ${absent[0]}/${n} --out FOLDER\``,
  ).problems;
}

function refuse(file: string, found: string, expected: string, hint: string): InputError {
  return new InputError([{ code: 'merge', file, found, expected, hint }]);
}
