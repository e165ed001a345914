import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { type Done, spinledger, temporaryFolder } from './program.ts';
import { start } from './studies.ts';

/** Runs a slow city cycle with a plug-in that has this source. */
function runWith(status: number, source: string): Done {
  const folder = temporaryFolder();
  writeFileSync(join(folder, 'mine.mjs'), source);
  const file = join(folder, 'mine.json');
  writeFileSync(file, '{ "name": "mine", "plugin": { "module": "./mine.mjs" } }');
  return spinledger(status, ['run', '--cycle', 'nycc', '--format', 'json', '--strategy', file]);
}

describe('a plug-in that acts behind the back of the program', () => {
  it.each([
    ['ends the process in a decision', 'export default () => ({ decide() { process.exit(0); } });'],
    ['ends the process when it is loaded', 'process.exit(3);'],
    ['is never loaded', 'await new Promise(() => {}); export default 1;'],
  ])('makes the run end with status 2, a message and no result: one that %s', (_what, source) => {
    const { stdout, stderr } = runWith(2, source);
    expect(stdout).toBe('');
    expect(stderr).toContain('the process: found its end before there was a result');
  });

  it('cannot pass with status 0, nor show a stack, when it throws later', () => {
    const source = `
      Promise.reject(new Error('later'));
      export default () => ({ decide() {} });
    `;
    const { stderr } = runWith(2, source);
    expect(stderr).toContain('the process: found Error: later');
    expect(stderr).not.toMatch(/^\s+at /m);
  });

  it.each(['run', 'bound'])(
    'does not keep %s from its end by what it leaves running',
    async (command) => {
      const folder = temporaryFolder();
      const source = 'setInterval(() => {}, 1000);\nexport default () => ({ decide() {} });';
      writeFileSync(join(folder, 'mine.mjs'), source);
      const file = join(folder, 'mine.json');
      writeFileSync(file, '{ "name": "mine", "plugin": { "module": "./mine.mjs" } }');
      const { end } = start([command, '--cycle', 'udds[0..60]', '--strategy', file]);
      expect(await end).toMatchObject({ status: 0, signal: null });
    },
  );

  it('does not print into the results, by whatever way', () => {
    const source = `
      console.log('when loaded');
      export default () => ({
        decide(see) { if (see.time === 0) process.stdout.write('in a decision\\n'); },
      });
    `;
    const { stdout, stderr } = runWith(0, source);
    expect(JSON.parse(stdout).case.strategy).toBe('mine');
    expect(stderr).toContain('when loaded\n');
    expect(stderr).toContain('in a decision\n');
  });
});
