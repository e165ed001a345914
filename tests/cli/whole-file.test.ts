import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { makeLogsFolder } from '../../src/cli/study-folder.ts';
import { writeWhole } from '../../src/cli/whole-file.ts';
import { problemsOf as problemsOfLoading } from '../config/drafts.ts';
import { problemsOf } from '../cycle/problems.ts';
import { emptyFolder } from '../study/results.ts';

const LISTENERS = process.listenerCount('SIGINT');

describe('a file that is written whole', () => {
  it('takes the place of what was there', async () => {
    const folder = emptyFolder();
    const path = join(folder, 'out.csv');
    writeFileSync(path, 'before');
    await writeWhole(path, (write) => write('after'));
    expect(readFileSync(path, 'utf8')).toBe('after');
    expect(readdirSync(folder)).toEqual(['out.csv']);
  });

  it('is not written to its end when a signal comes, and leaves what was there', async () => {
    const folder = emptyFolder();
    const path = join(folder, 'out.csv');
    writeFileSync(path, 'before');
    let pieces = 0;
    const writing = writeWhole(path, async (write, heed) => {
      setImmediate(() => process.emit('SIGTERM', 'SIGTERM'));
      for (; pieces < 1000; pieces++) {
        write('after');
        await heed();
      }
    });
    await expect(writing).rejects.toMatchObject({ name: 'Interrupted', status: 143 });
    expect(pieces).toBeLessThan(5);
    expect(readFileSync(path, 'utf8')).toBe('before');
    expect(readdirSync(folder)).toEqual(['out.csv']);
  });

  it('heeds a signal that came while all of it was made at once', async () => {
    const folder = emptyFolder();
    const writing = writeWhole(join(folder, 'out.csv'), (write) => {
      setImmediate(() => process.emit('SIGINT', 'SIGINT'));
      write('text');
    });
    await expect(writing).rejects.toMatchObject({ status: 130 });
    expect(readdirSync(folder)).toEqual([]);
    expect(process.listenerCount('SIGINT')).toBe(LISTENERS);
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
