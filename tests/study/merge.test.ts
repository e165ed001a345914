import { appendFileSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { sha256 } from '../../src/config/hash.ts';
import { InputError } from '../../src/config/problem.ts';
import { JOURNAL } from '../../src/study/journal.ts';
import type { Manifest } from '../../src/study/manifest.ts';
import { mergedRecords, planMerge } from '../../src/study/merge.ts';
import { countOf } from '../../src/study/shard.ts';

const WHOLE: Omit<Manifest, 'records_sha256'> = {
  schema_version: 1,
  tool: 'spinledger 1.2.3',
  model_version: '7',
  study: 'sizes',
  plan: 'abc',
  cases: 8,
  done: 6,
  failed: 2,
  varied: [],
  cycle_shares: null,
  outputs: { logs: false, explain: false, bound: false },
  inputs: [],
  shard: null,
};

/** A folder in which the shards of an invented study of eight cases lie. */
class Shards {
  readonly folder = mkdtempSync(join(tmpdir(), 'spinledger-'));

  constructor() {
    onTestFinished(() => rmSync(this.folder, { recursive: true, force: true }));
  }

  /** Adds a shard of three, with what of its manifest is different. */
  add(name: string, k: number, changed: Partial<Manifest> = {}): string {
    const folder = join(this.folder, name);
    mkdirSync(folder);
    const indices = [0, 1, 2, 3, 4, 5, 6, 7].filter((index) => (index % 3) + 1 === k);
    const shard = { k, n: 3, of_cases: 8 };
    const counts = { cases: indices.length, done: indices.length - (k < 3 ? 1 : 0) };
    const lines = indices.map((index) => `{"case":${index}}\n`).join('');
    const digest = { records_sha256: sha256(lines) };
    const manifest = { ...WHOLE, ...counts, ...digest, failed: k < 3 ? 1 : 0, shard, ...changed };
    writeFileSync(join(folder, 'manifest.json'), JSON.stringify(manifest));
    writeFileSync(join(folder, 'results.jsonl'), lines);
    return folder;
  }

  addAll(): string[] {
    return [this.add('b', 2), this.add('c', 3), this.add('a', 1)];
  }
}

function refusal(work: () => unknown): string {
  try {
    work();
  } catch (error) {
    if (error instanceof InputError) return JSON.stringify(error.problems);
    throw error;
  }
  throw new Error('nothing was refused');
}

describe('merging shards', () => {
  it('gives the manifest and the order of the whole study, however the folders are named', () => {
    const merge = planMerge(new Shards().addAll());
    expect(merge.manifest).toEqual(WHOLE);
    const order = [...mergedRecords(merge)].map((line) => JSON.parse(line).case);
    expect(order).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
  });

  it('takes shards without any case', () => {
    const shards = new Shards();
    const withCases = (name: string, k: number, lines: string) => {
      const cases = countOf({ k, n: 3 }, 1);
      const folder = shards.add(name, k, {
        cases,
        done: cases,
        failed: 0,
        records_sha256: sha256(lines),
        shard: { k, n: 3, of_cases: 1 },
      });
      writeFileSync(join(folder, 'results.jsonl'), lines);
      return folder;
    };
    const first = withCases('a', 1, '{"case":0}\n');
    const empty = [withCases('b', 2, ''), withCases('c', 3, '')];
    const merge = planMerge([...empty, first]);
    expect([...mergedRecords(merge)]).toEqual(['{"case":0}']);
  });

  it.each<[string, (shards: Shards) => string[], string[]]>([
    [
      'a missing one',
      (s) => s.addAll().slice(1),
      ['no shard 2/3', '(1/3)', '(3/3)', '--shard 2/3'],
    ],
    ['one that is there twice', (s) => [...s.addAll(), s.add('d', 2)], ['/d"', '/b`', '2/3']],
    [
      'a folder named twice',
      (s) => [...s.addAll(), join(s.folder, 'a/')],
      ['same folder as', '/a`'],
    ],
    [
      'one of another plan',
      (s) => [s.add('a', 1), s.add('b', 2, { plan: 'xyz' }), s.add('c', 3)],
      ['/b"', 'plan xyz', 'plan abc'],
    ],
    [
      'one of another division',
      (s) => [s.add('a', 1), s.add('b', 2, { cases: 2, shard: { k: 2, n: 4, of_cases: 8 } })],
      ['/b"', 'shard 2/4', 'one of 3 shards'],
    ],
    [
      'one of another model',
      (s) => [s.add('a', 1), s.add('b', 2, { model_version: '6' }), s.add('c', 3)],
      ['/b"', 'model version 6', 'model version 7'],
    ],
    [
      'one of another version of the program',
      (s) => [s.add('a', 1), s.add('b', 2, { tool: 'spinledger 1.2.2' }), s.add('c', 3)],
      ['/b"', 'spinledger 1.2.2', 'spinledger 1.2.3'],
    ],
    ['a whole study', (s) => [s.add('a', 1, { shard: null })], ['whole study']],
    ['a manifest that does not add up', (s) => [s.add('a', 1, { cases: 4 })], ['4 cases', '1/3']],
    [
      'an unfinished one',
      (s) => {
        mkdirSync(join(s.folder, 'u'));
        writeFileSync(join(s.folder, 'u', JOURNAL), '');
        return [s.add('a', 1), join(s.folder, 'u')];
      },
      ['/u"', 'has not ended', 'same `--out`'],
    ],
    ['a folder of something else', (s) => [s.folder], ['without manifest.json']],
    ['no folder', (s) => [join(s.folder, 'none')], ['no such folder']],
  ])('refuses %s, and says which and what to do', (_what, folders, words) => {
    const said = refusal(() => planMerge(folders(new Shards())));
    for (const word of words) expect(said).toContain(word);
    expect(said).toContain('"hint"');
  });

  it('refuses a shard whose records were changed after its manifest was written', () => {
    const folders = new Shards().addAll();
    const file = join(folders[0]!, 'results.jsonl');
    // The same length, other content.
    writeFileSync(file, '{"case":1}\n{"case":9}\n{"case":7}\n');
    expect(refusal(() => planMerge(folders))).toContain('other content than its manifest says');
    rmSync(file);
    expect(refusal(() => planMerge(folders))).toContain('no such file');
  });

  it('refuses a shard that has more or fewer lines than it says', () => {
    const shards = new Shards();
    const merge = planMerge(shards.addAll());
    const file = join(shards.folder, 'c', 'results.jsonl');
    appendFileSync(file, '{"case":8}\n');
    expect(refusal(() => [...mergedRecords(merge)])).toContain('more cases than its manifest says');
    writeFileSync(file, '{"case":2}\n{"case":5}');
    expect(refusal(() => [...mergedRecords(merge)])).toContain('fewer cases than');
  });
});
