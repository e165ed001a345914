import { execFileSync } from 'node:child_process';
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openStream, readText } from '../../src/config/files.ts';
import { InputError, type Problem } from '../../src/config/problem.ts';
import { problemsOf } from '../cycle/problems.ts';
import { folderWith } from './drafts.ts';

async function textOf(path: string): Promise<string> {
  const decoder = new TextDecoder();
  let text = '';
  for await (const piece of openStream(path, 'a log'))
    text += decoder.decode(piece, { stream: true });
  return text;
}

async function refusal(path: string): Promise<Problem | undefined> {
  try {
    await textOf(path);
  } catch (error) {
    if (error instanceof InputError) return error.problems[0];
    throw error;
  }
  throw new Error('nothing was refused');
}

describe('openStream', () => {
  it('gives all of a file, larger than one piece or empty', async () => {
    const large = '0123456789é\n'.repeat(100_000);
    const folder = folderWith({ 'large.csv': large, 'empty.csv': '' });
    expect((await textOf(join(folder, 'large.csv'))) === large).toBe(true);
    expect(await textOf(join(folder, 'empty.csv'))).toBe('');
  });

  it('says the same as for a whole text where a file cannot be read', async () => {
    const folder = folderWith({ 'monday.csv': 'x' });
    for (const path of [
      join(folder, 'mondy.csv'),
      join(folder, 'gone', 'monday.csv'),
      join(folder, 'monday.csv', 'x'),
      folder,
      '/dev/zero',
    ]) {
      const whole = problemsOf(() => readText(path, 'a log'))[0];
      expect(await refusal(path)).toEqual(whole);
    }
  });

  it('takes a pipe, but no device, which may never end', async () => {
    const pipe = join(folderWith({}), 'pipe');
    execFileSync('mkfifo', [pipe]);
    const writing = writeFile(pipe, 'time_s\n');
    expect(await textOf(pipe)).toBe('time_s\n');
    await writing;
    expect(await refusal('/dev/zero')).toEqual({
      code: 'device',
      file: '/dev/zero',
      found: 'a device',
      expected: 'a log',
      hint: 'name a file or a pipe',
    });
  });

  it('may be given up before its end, and read again', async () => {
    const folder = folderWith({ 'monday.csv': 'x'.repeat(1_000_000) });
    for (let round = 0; round < 3; round++) {
      for await (const piece of openStream(join(folder, 'monday.csv'), 'a log')) {
        expect(piece.length).toBeGreaterThan(0);
        break;
      }
    }
  });
});
