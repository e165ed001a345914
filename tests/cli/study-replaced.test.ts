import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { hasSameResults, replacedWords } from '../../src/cli/study-replaced.ts';
import { emptyFolder, folderOf } from '../study/results.ts';

const NEXT = { study: 'made-up', plan: 'abc', shard: null };
const SHARD = { k: 1, n: 2, of_cases: 4 };

describe('results that take the place of others', () => {
  it('say nothing where there are none, or the same come again', () => {
    expect(replacedWords(emptyFolder(), NEXT)).toBeUndefined();
    expect(replacedWords(folderOf([]), NEXT)).toBeUndefined();
    const shard = folderOf([], { shard: SHARD });
    expect(replacedWords(shard, { ...NEXT, shard: { k: 1, n: 2 } })).toBeUndefined();
  });

  it('say so where the study was edited, with the cases that it had', () => {
    const folder = folderOf([], { cases: 3 });
    expect(replacedWords(folder, { ...NEXT, plan: 'xyz' })).toBe(
      `made-up has changed since its results in ${folder} were written (3 cases): they are replaced`,
    );
  });

  it('say so where another share of the same study was there', () => {
    const folder = folderOf([], { shard: SHARD });
    expect(replacedWords(folder, NEXT)).toBe(
      `${folder} has the results of shard 1/2 of made-up: those of all cases take their place`,
    );
    expect(replacedWords(folder, { ...NEXT, shard: { k: 2, n: 2 } })).toContain(
      'of shard 2/2 take',
    );
  });

  it('say so where nobody knows whose were there', () => {
    const folder = folderOf([]);
    writeFileSync(join(folder, 'manifest.json'), '{');
    expect(replacedWords(folder, NEXT)).toContain('manifest.json cannot be read');
  });
});

describe('results that come again', () => {
  it('are those of the same plan and the same share of it', () => {
    expect(hasSameResults(folderOf([]), NEXT)).toBe(true);
    const shard = folderOf([], { shard: SHARD });
    expect(hasSameResults(shard, { ...NEXT, shard: { k: 1, n: 2 } })).toBe(true);
    expect(hasSameResults(shard, { ...NEXT, shard: { k: 2, n: 2 } })).toBe(false);
    expect(hasSameResults(shard, NEXT)).toBe(false);
    expect(hasSameResults(folderOf([]), { ...NEXT, plan: 'xyz' })).toBe(false);
    expect(hasSameResults(emptyFolder(), NEXT)).toBe(false);
  });
});
