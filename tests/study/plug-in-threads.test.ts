import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { loadStudy } from '../../src/study/load-study.ts';
import { PlugInThreads } from '../../src/study/plug-in-threads.ts';
import { folderWith, problemsOf } from '../config/drafts.ts';
import { ONE, writtenStudy } from './planned.ts';

const GOOD = 'export default () => ({ decide() {} });\n';
const LOOPS = 'for (;;);\n';
/** Time that a plug-in of these tests gets [s]; a thread starts within a part of it. */
const LIMIT = 3;

/** Threads, and what they are asked for of modules in a folder of their own. */
function threadsFor(files: Readonly<Record<string, string>>, limit: number) {
  const folder = folderWith(files);
  const threads = new PlugInThreads(limit);
  onTestFinished(() => threads.end());
  const source = (module: string, parameters = {}) =>
    threads.source({ name: 'mine', folder, module, parameters });
  return { folder, source };
}

describe('a plug-in that is tried in a thread', () => {
  it('gives the text of its module, for any parameters that it takes', async () => {
    const maker =
      'export default ({ a }) => {\n  if (a > 1) throw new Error("a is too large");\n  return { decide() {} };\n};\n';
    const { folder, source } = threadsFor({ 'a.mjs': maker, 'b.mjs': GOOD }, 600);
    expect(await source('a.mjs', { a: 1 })).toBe(maker);
    expect(await source('b.mjs')).toBe(GOOD);
    expect(await problemsOf(source('a.mjs', { a: 2 }))).toMatchObject([
      { code: 'plug-in-maker', file: join(folder, 'a.mjs'), line: 2 },
    ]);
    expect(await source('a.mjs', { a: 0 })).toBe(maker);
  });

  it.each([
    ['is imported for ever', LOOPS],
    ['makes its strategy for ever', 'export default () => { for (;;); };\n'],
  ])('is named when its time is over, and not tried again: one that %s', async (_what, text) => {
    const { folder, source } = threadsFor({ 'a.mjs': text, 'b.mjs': GOOD }, LIMIT);
    const expected = [
      {
        code: 'too-long',
        file: join(folder, 'a.mjs'),
        found: `no strategy after ${LIMIT} s`,
        expected: expect.stringContaining('--time-limit'),
      },
    ];
    expect(await problemsOf(source('a.mjs'))).toMatchObject(expected);
    // Each further one would take its time again, and this test would not end.
    for (let i = 0; i < 100; i++) await problemsOf(source('a.mjs', { i }));
    expect(await problemsOf(source('a.mjs'))).toMatchObject(expected);
    expect(await source('b.mjs')).toBe(GOOD);
  });

  it.each([
    ['ends its process', 'process.exit(0);\n', 'its end before there was a result'],
    ['waits for what never comes', 'await new Promise(() => {});\n', 'its end before there'],
    ['leaves a promise behind', `Promise.reject(new Error("later"));\n${GOOD}`, 'Error: later'],
  ])('is named at once: one that %s', async (_what, text, found) => {
    const { folder, source } = threadsFor({ 'a.mjs': text, 'b.mjs': GOOD }, 600);
    expect(await problemsOf(source('a.mjs'))).toMatchObject([
      {
        code: 'process-disturbed',
        file: join(folder, 'a.mjs'),
        found: expect.stringContaining(found),
      },
    ]);
    expect(await source('b.mjs')).toBe(GOOD);
  });
});

describe('the plan of a study with a plug-in that is imported for ever', () => {
  it('is refused with the name of the plug-in, and with what else is wrong', async () => {
    const strategy = (module: string) => JSON.stringify({ name: module, plugin: { module } });
    const study = { ...ONE, stores: ['rim-6'], strategies: ['loops.json', 'good.json'] };
    const path = writtenStudy(study, {
      'loops.json': strategy('./loops.mjs'),
      'loops.mjs': LOOPS,
      'good.json': strategy('./good.mjs'),
      'good.mjs': GOOD,
    });
    expect(await problemsOf(loadStudy(path, LIMIT))).toMatchObject([
      { code: 'unknown-store' },
      { code: 'too-long', file: expect.stringMatching(/loops\.mjs$/) },
    ]);
  });
});
