import { mkdirSync, readdirSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { claimFolder } from '../../src/study/output-folder.ts';
import { problemsOf } from '../config/drafts.ts';
import { emptyFolder } from './results.ts';

const NAMES = ['results.csv'];

/** The problem with which a folder is refused. */
async function refusal(folder: string) {
  const [problem] = await problemsOf(claimFolder(folder, NAMES, {}));
  return problem;
}

describe('claiming a folder', () => {
  it('makes it, with those above it', async () => {
    const folder = join(emptyFolder(), 'a', 'b');
    const lock = await claimFolder(folder, NAMES, {});
    expect(readdirSync(folder)).toEqual(['.lock']);
    lock.release();
  });

  it('refuses a link that leads nowhere, at whatever place of the path', async () => {
    const place = emptyFolder();
    const link = join(place, 'link');
    symlinkSync('nowhere', link);
    for (const folder of [link, `${link}/`, join(link, 'a', 'b')]) {
      expect(await refusal(folder)).toMatchObject({
        code: 'output-folder',
        found: 'a link that leads nowhere',
        hint: 'mend the link, or write elsewhere',
      });
    }
    expect(readdirSync(place)).toEqual(['link']);
  });

  it('refuses an empty name, as an unset variable leaves', async () => {
    expect(await refusal('')).toMatchObject({ file: '--out', found: 'an empty name' });
  });

  it.each(['results.csv', 'journal.jsonl', '.lock'])(
    'refuses one in which a folder is called %s, and leaves it alone',
    async (name) => {
      const folder = emptyFolder();
      mkdirSync(join(folder, name));
      const file = join(folder, name);
      expect(await refusal(folder)).toMatchObject({
        code: 'cannot-write',
        file,
        found: 'a folder',
      });
      expect(readdirSync(folder)).toEqual([name]);
    },
  );
});
