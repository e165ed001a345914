import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { copyExamples } from '../../src/config/init.ts';
import { loadCase } from '../../src/config/load.ts';
import { problemsOf } from '../cycle/problems.ts';
import { EXAMPLES, folderWith } from './drafts.ts';

describe('copyExamples', () => {
  it('copies the whole set into a folder that it makes, ready to run', async () => {
    const target = join(folderWith({}), 'deep', 'down');
    const files = copyExamples(target);
    expect(files).toContain(join('schema', 'car.json'));
    expect(files).toContain(join('cars', 'estate.json'));
    for (const file of files) {
      expect(readFileSync(join(target, file), 'utf8')).toBe(
        readFileSync(join(EXAMPLES, file), 'utf8'),
      );
    }
    const loaded = await loadCase({
      car: join(target, 'cars/compact.json'),
      store: join(target, 'stores/large.json'),
      strategy: join(target, 'strategies/plugin.json'),
      cycle: join(target, 'cycles/town-hills.csv'),
    });
    expect(loaded.car.name).toBe('compact');
  });

  it('goes into a folder that holds other files', () => {
    const target = folderWith({ 'mine.txt': 'mine' });
    copyExamples(target);
    expect(readFileSync(join(target, 'mine.txt'), 'utf8')).toBe('mine');
    expect(existsSync(join(target, 'README.md'))).toBe(true);
  });

  it('writes nothing where a single file is in the way, and names it', () => {
    const target = folderWith({ 'README.md': 'mine' });
    const problems = problemsOf(() => copyExamples(target));
    expect(problems).toMatchObject([{ code: 'file-exists', file: join(target, 'README.md') }]);
    expect(readdirSync(target)).toEqual(['README.md']);
    expect(readFileSync(join(target, 'README.md'), 'utf8')).toBe('mine');
  });

  it('leaves no file behind where the folder cannot be made', () => {
    const target = folderWith({ cars: 'a file where a folder has to be' });
    const problems = problemsOf(() => copyExamples(target));
    expect(problems).toMatchObject([{ code: 'cannot-write', file: target }]);
    writeFileSync(join(target, 'seen'), '');
    expect(existsSync(join(target, 'README.md'))).toBe(false);
  });
});
