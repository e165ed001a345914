import { expect, it, vi } from 'vitest';
import { readText } from '../../src/config/files.ts';
import { problemsOf } from '../cycle/problems.ts';

vi.mock(import('node:fs'), async (original) => ({
  ...(await original()),
  readFileSync: () => {
    throw Object.assign(new Error(), { code: 'EMFILE' });
  },
}));

it('a file that cannot be opened since too many are says how to mend it', () => {
  expect(problemsOf(() => readText(import.meta.filename, 'a car file'))).toMatchObject([
    {
      code: 'unreadable',
      found: expect.stringContaining('too many are open (EMFILE)'),
      hint: expect.stringContaining('ulimit -n'),
    },
  ]);
});
