import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { makeLogsFolder } from '../../src/cli/study-folder.ts';
import { writeWhole } from '../../src/cli/whole-file.ts';
import { problemsOf as problemsOfLoading } from '../config/drafts.ts';
import { problemsOf } from '../cycle/problems.ts';
import { emptyFolder } from '../study/results.ts';

describe('a file that is written whole', () => {
  it('takes the place of what was there', async () => {
    const folder = emptyFolder();
    const path = join(folder, 'out.csv');
    writeFileSync(path, 'before');
    await writeWhole(path, (write) => write('after'));
    expect(readFileSync(path, 'utf8')).toBe('after');
    expect(readdirSync(folder)).toEqual(['out.csv']);
  });

  it('has a name', async () => {
    const writing = writeWhole('', (write) => write('text'));
    expect(await problemsOfLoading(writing)).toMatchObject([
      { code: 'cannot-write', found: 'an empty name' },
    ]);
  });
});

describe('the folder of logs', () => {
  it('is no file', () => {
    const folder = emptyFolder();
    makeLogsFolder(folder);
    makeLogsFolder(folder);
    expect(readdirSync(folder)).toEqual(['logs']);
    const other = emptyFolder();
    writeFileSync(join(other, 'logs'), 'mine');
    expect(problemsOf(() => makeLogsFolder(other))).toMatchObject([
      { code: 'cannot-write', file: join(other, 'logs'), found: 'a file' },
    ]);
    expect(readFileSync(join(other, 'logs'), 'utf8')).toBe('mine');
  });
});
