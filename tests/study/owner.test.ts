import { readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { claimFolder } from '../../src/study/output-folder.ts';
import { type Owner, ownFolder } from '../../src/study/owner.ts';
import { problemsOf } from '../cycle/problems.ts';
import { emptyFolder, folderOf } from './results.ts';

const SIZES: Owner = { kind: 'study', name: 'sizes' };
const OTHERS: Owner[] = [
  { kind: 'study', name: 'other' },
  { kind: 'tune', name: 'sizes' },
];

const markIn = (folder: string) => readFileSync(join(folder, 'owner.json'), 'utf8');

describe('the folder of a study or a tune', () => {
  it('stays its own from the start, and has the same mark each time', () => {
    const folder = emptyFolder();
    ownFolder(folder, SIZES);
    const mark = markIn(folder);
    for (const other of OTHERS) {
      expect(problemsOf(() => ownFolder(folder, other))).toMatchObject([
        {
          code: 'other-study',
          file: folder,
          found: 'the folder of the study sizes',
          expected: expect.stringContaining(`${other.kind} ${other.name}`),
          hint: expect.stringContaining('write elsewhere'),
        },
      ]);
    }
    ownFolder(folder, SIZES);
    expect(markIn(folder)).toBe(mark);
    expect(readdirSync(folder)).toEqual(['owner.json']);
  });

  it('does not go from one tune to another, or to a study', () => {
    const folder = emptyFolder();
    ownFolder(folder, { kind: 'tune', name: 'reserve' });
    for (const other of [...OTHERS, { kind: 'study', name: 'reserve' } as const]) {
      expect(problemsOf(() => ownFolder(folder, other))).toMatchObject([
        { code: 'other-study', found: 'the folder of the tune reserve' },
      ]);
    }
  });

  it.each(['', '{', '5', 'null', '{"kind":"fit","name":"a"}', '{"kind":"study"}'])(
    'is known by its results where the mark is %j, or is gone',
    (text) => {
      const folder = folderOf([], { study: 'sizes' });
      writeFileSync(join(folder, 'owner.json'), text);
      for (const other of OTHERS) {
        expect(problemsOf(() => ownFolder(folder, other))).toMatchObject([
          { found: 'the folder of the study sizes' },
        ]);
      }
      rmSync(join(folder, 'owner.json'));
      expect(problemsOf(() => ownFolder(folder, OTHERS[0]!))).toMatchObject([
        { code: 'other-study' },
      ]);
      ownFolder(folder, SIZES);
      expect(JSON.parse(markIn(folder))).toEqual(SIZES);
    },
  );

  it('may be claimed though its process was killed before there was a journal', async () => {
    const folder = emptyFolder();
    ownFolder(folder, SIZES);
    const lock = await claimFolder(folder, [], {});
    lock.release();
    expect(readdirSync(folder)).toEqual(['owner.json']);
  });
});
