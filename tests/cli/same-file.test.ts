import { mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { refuseToReplace } from '../../src/cli/same-file.ts';
import { problemsOf } from '../cycle/problems.ts';
import { emptyFolder } from '../study/results.ts';

/** A folder of results, a file, and links to both. */
function inputs() {
  const place = emptyFolder();
  const folder = join(place, 'results');
  mkdirSync(join(folder, 'logs'), { recursive: true });
  writeFileSync(join(folder, 'manifest.json'), '{}');
  const file = join(place, 'run.json');
  writeFileSync(file, '{}');
  symlinkSync('results', join(place, 'link'));
  symlinkSync('run.json', join(place, 'same.json'));
  return { place, folder, file };
}

describe('a file that is made from others', () => {
  it('does not take the place of one of them, whatever its name leads through', () => {
    const { place, folder, file } = inputs();
    for (const out of ['run.json', 'same.json', 'link/../run.json']) {
      const refuse = () => refuseToReplace([folder, file], '--junit', join(place, out));
      expect(problemsOf(refuse)).toMatchObject([{ code: 'replaces-input', file: '--junit' }]);
    }
  });

  it.each([
    'results/manifest.json',
    'results/new.xml',
    'results/logs/1.csv',
    'link/manifest.json',
    'link/new.xml',
    'results/../results/manifest.json',
  ])('does not come into a folder of results that it is made from: %s', (name) => {
    const { place, folder } = inputs();
    for (const input of [folder, join(place, 'link')]) {
      const refuse = () => refuseToReplace([input], '--junit', join(place, name));
      expect(problemsOf(refuse)).toMatchObject([
        {
          code: 'replaces-input',
          found: `${join(place, name)}, in the folder ${input}, an input of this command`,
        },
      ]);
    }
  });

  it('may be any other', () => {
    const { place, folder, file } = inputs();
    for (const out of ['new.xml', 'results.xml', 'results-2', 'no/such/folder.xml']) {
      const refuse = () => refuseToReplace([folder, file], '--junit', join(place, out));
      expect(refuse).not.toThrow();
    }
    expect(() => refuseToReplace([folder], '--junit', '-')).not.toThrow();
    expect(() => refuseToReplace(['-', file], '--junit', undefined)).not.toThrow();
  });
});
