import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { type Done, spinledger, temporaryFolder } from './program.ts';
import { recordsIn, resultsIn, writeStudy } from './studies.ts';

/** A strategy that is driven by a plug-in with this source. */
function plugIn(folder: string, name: string, source: string): string {
  mkdirSync(join(folder, 'plug-ins'), { recursive: true });
  writeFileSync(join(folder, 'plug-ins', `${name}.mjs`), source);
  const file = join(folder, 'plug-ins', `${name}.json`);
  const plugin = { module: `./${name}.mjs`, parameters: { power_kW: 1 } };
  writeFileSync(file, JSON.stringify({ name, plugin }));
  return file;
}

const deciding = (body: string) => `export default (given) => ({ decide(see, want) { ${body} } });`;
const GOOD = deciding('want.engineOn = true;');

/** Runs a study of a good plug-in, a bad one and a shipped strategy on two cycles. */
function runWith(status: number, folder: string, bad: string, ...more: string[]): Done {
  const study = writeStudy(folder, {
    strategies: [plugIn(folder, 'good', GOOD), plugIn(folder, 'bad', bad), 'coast'],
    cycles: ['nycc', 'udds'],
  });
  const out = join(folder, 'out');
  return spinledger(status, ['study', study, '--out', out, '--format', 'none', ...more]);
}

/** Strategy, cycle and state of each record. */
function states(folder: string): string[] {
  return recordsIn(join(folder, 'out')).map(
    ({ case: { strategy, cycle }, state }) => `${strategy} ${cycle} ${state}`,
  );
}

const ONLY_BAD = [
  'good nycc done',
  'good udds done',
  'bad nycc failed',
  'bad udds failed',
  'coast nycc done',
  'coast udds done',
];

describe('a plug-in that breaks its contract', () => {
  it.each<[string, string, string, string[]]>([
    ['throws', deciding('throw new Error("no idea");'), 'found Error: no idea', []],
    ['ends the process', deciding('process.exit(0);'), 'its end before there was a result', []],
    ['goes round for ever', deciding('for (;;);'), 'no result after 3 s', ['--time-limit', '3']],
    [
      'fails later',
      deciding('if (see.time === 0) Promise.reject(new Error("later"));'),
      'found Error: later',
      [],
    ],
  ])('makes its cases fail and no other, with status 2: one that %s', (_what, bad, words, more) => {
    const folder = temporaryFolder();
    const { stderr, stdout } = runWith(2, folder, bad, ...more);
    expect(states(folder)).toEqual(ONLY_BAD);
    expect(stderr).toContain('2 of 6 cases failed:');
    expect(stderr).toContain(words);
    expect(stdout).toBe('');
    const { error } = recordsIn(join(folder, 'out'))[2];
    expect(error.kind).toBe('input');
    expect(error.message).toContain(words);
    const table = readFileSync(join(folder, 'out', 'results.csv'), 'utf8').split('\n');
    expect(table[3]).toContain(',failed,');
  });

  it('has its cases tried again, and only them, and the same bytes with one job and two', () => {
    const folder = temporaryFolder();
    const bad = deciding('if (see.time > 100) process.exit(0);');
    runWith(2, folder, bad, '--jobs', '1');
    const once = resultsIn(join(folder, 'out'));
    const again = runWith(2, folder, bad, '--jobs', '2');
    expect(again.stderr).toContain('4 cases finished before');
    expect(again.stderr).toContain('2 of 6 cases are left to run');
    expect(resultsIn(join(folder, 'out'))).toEqual(once);
    const mended = runWith(0, folder, GOOD);
    expect(mended.stderr).toContain('4 cases finished before');
    expect(states(folder).every((state) => state.endsWith('done'))).toBe(true);
  });

  it('ends the study at its first case with --fail-fast, which keeps what is finished', () => {
    const folder = temporaryFolder();
    const bad = deciding('throw new Error("no idea");');
    const { stderr } = runWith(2, folder, bad, '--fail-fast', '--jobs', '1');
    expect(stderr).toContain('stopped at estate, rim-45, bad, nycc');
    expect(stderr).toContain('found Error: no idea');
    expect(stderr).toMatch(/[3-5] of 6 cases are finished and kept/);
    expect(() => recordsIn(join(folder, 'out'))).toThrow(/ENOENT/);
  });

  it('is refused when the study is planned, with status 2 and its name, if it is imported for ever', () => {
    const { stderr, stdout } = runWith(2, temporaryFolder(), 'for (;;);', '--time-limit', '2');
    expect(stderr).toContain('bad.mjs: found no strategy after 2 s');
    expect(stdout).toBe('');
  });

  it('does not print into the results', () => {
    const folder = temporaryFolder();
    const { stdout } = runWith(0, folder, deciding('if (see.time === 0) console.log("noise");'));
    expect(stdout).toBe('');
  });
});

describe('a plug-in that throws when its case is over', () => {
  it('fails in each of its cases and gives the same bytes with one job and two, if the timer is due by then', () => {
    const folder = temporaryFolder();
    const soon = deciding('if (see.time === 0) setTimeout(() => { throw new Error("soon"); });');
    const strategies = [plugIn(folder, 'soon', soon), 'coast'];
    const study = writeStudy(folder, { strategies, cycles: ['nycc', 'udds', 'hwfet'] });
    const [one, two] = ['1', '2'].map((jobs) => {
      const out = join(folder, `out-${jobs}`);
      spinledger(2, ['study', study, '--out', out, '--jobs', jobs, '--format', 'none']);
      return out;
    });
    expect(recordsIn(one!).map(({ case: { strategy }, state }) => `${strategy} ${state}`)).toEqual([
      ...Array(3).fill('soon failed'),
      ...Array(3).fill('coast done'),
    ]);
    expect(resultsIn(two!)).toEqual(resultsIn(one!));
  });

  it('is not laid at the door of a case without a plug-in', () => {
    const folder = temporaryFolder();
    // Thrown well after the short run of its own case, among those of `coast`.
    const late = deciding(
      'if (see.time === 0) setTimeout(() => { throw new Error("late"); }, 15);',
    );
    const study = writeStudy(folder, {
      strategies: [plugIn(folder, 'late', late), 'coast', 'recover'],
      cycles: ['nycc', 'udds', 'hwfet', 'jc08'],
    });
    const args = ['study', study, '--out', join(folder, 'out'), '--jobs', '1'];
    const { stderr } = spinledger(2, [...args, '--format', 'none']);
    const innocent = states(folder).filter((state) => !state.startsWith('late'));
    expect(innocent).toHaveLength(8);
    expect(innocent.every((state) => state.endsWith(' done'))).toBe(true);
    expect(stderr).toContain('late');
  });
});
