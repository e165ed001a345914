import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Summary } from '../../src/summary/summary.ts';
import { filesUnder, PROGRAM, shell, spinledger, temporaryFolder } from './program.ts';

const run = (strategy: string) =>
  spinledger(0, ['run', '--strategy', strategy, '--cycle', 'nycc', '--format', 'json']).stdout;
const RECOVER = run('recover');
const COAST = run('coast');

/** A folder with a result before and one after, and a file of gates. */
function folder(gates: readonly object[] = [], more: Readonly<Record<string, string>> = {}) {
  const cwd = temporaryFolder();
  const named = gates.map((gate, k) => ({ name: `gate ${k + 1}`, ...gate }));
  const files = {
    'before.json': RECOVER,
    'after.json': COAST,
    'gates.json': JSON.stringify({ name: 'mine', gates: named }),
    ...more,
  };
  for (const [name, text] of Object.entries(files)) writeFileSync(join(cwd, name), text);
  return { cwd };
}

const SAVES = { name: 'saves', figure: 'saving_vs_stop_start_pct', above: 0 };
const NEVER = { name: 'never', figure: 'fuel_store_L_per_100km', below: 0 };
const BOTH = ['compare', 'before.json', 'after.json'];

describe('compare', () => {
  it('tells what moved between two runs, with status 0', () => {
    const { stdout, stderr } = spinledger(0, BOTH, folder());
    expect(stdout).toContain('1 case compared: 1 with less fuel');
    expect(stdout).toContain('What moved in the ledger');
    expect(stderr).toBe('Compared across the strategy: recover before, coast after.\n');
  });

  it('runs its example as printed', () => {
    const help = spinledger(0, ['compare', '--help']).stdout;
    const lines = [...help.matchAll(/^ {2}npx (spinledger .*)$/gm)].map((match) => match[1]);
    expect(lines).toHaveLength(3);
    const done = shell(lines.join(' && '), { cwd: temporaryFolder() });
    expect(done.status, done.stderr).toBe(0);
    expect(done.stdout).toContain('All 3 gates of no-worse hold\n');
    expect(help).toContain('Exit status: 0 done');
  });

  it('takes one result from standard input', () => {
    const { cwd } = folder();
    const plain = spinledger(0, BOTH, { cwd }).stdout.split('\n').slice(1);
    for (const line of [
      'cat before.json | spinledger compare - after.json',
      'spinledger compare before.json - < after.json',
    ]) {
      const { status, stdout } = shell(line, { cwd });
      expect(status).toBe(0);
      expect(stdout).toContain('standard input');
      expect(stdout.split('\n').slice(1)).toEqual(plain);
    }
  });

  it('prints JSON, CSV, Markdown, or nothing', () => {
    const at = folder();
    const print = (format: string, ...more: string[]) =>
      spinledger(0, [...BOTH, '--format', format, ...more], at).stdout;
    const before = JSON.parse(RECOVER) as Summary;
    const after = JSON.parse(COAST) as Summary;
    expect(JSON.parse(print('json')).cases).toMatchObject([
      {
        before_hash: before.case.hash,
        after_hash: after.case.hash,
        figures: {
          fuel_store_L_per_100km: {
            before: before.fuel.store_L_per_100km,
            after: after.fuel.store_L_per_100km,
          },
        },
      },
    ]);
    expect(print('csv').split('\n')[0]).toMatch(/^case_car,case_store,/);
    expect(print('csv', '--decimal', ',').split('\n')[0]).toMatch(/^case_car;case_store;/);
    expect(print('markdown')).toMatch(/^## Comparison\n/);
    expect(print('none')).toBe('');
  });

  it('prints the same bytes twice', () => {
    const at = folder([SAVES]);
    for (const format of ['table', 'json', 'csv', 'markdown']) {
      const args = [...BOTH, '--format', format, '--gate', 'gates.json'];
      expect(spinledger(0, args, at).stdout).toBe(spinledger(0, args, at).stdout);
    }
  });
});

describe('compare --gate', () => {
  it('ends with status 0 if all gates hold', () => {
    const { stdout } = spinledger(0, [...BOTH, '--gate', 'gates.json'], folder([SAVES]));
    expect(stdout).toContain('The gate of mine holds\n');
  });

  it.each(['table', 'json', 'csv', 'markdown', 'none'])(
    'ends with status 3 and names the gate on standard error with --format %s',
    (format) => {
      const at = folder([SAVES, NEVER]);
      const args = [...BOTH, '--gate', 'gates.json', '--format', format];
      const { stderr, stdout } = spinledger(3, args, at);
      expect(stderr).toMatch(/^gate does not hold: never: fuel_store_L_per_100km below 0\n {2}\d/m);
      expect(stderr).not.toContain('saves');
      expect(stdout === '').toBe(format === 'none');
    },
  );

  it('ends with status 3 though nobody reads what it prints', () => {
    const at = folder([NEVER]);
    const line = `"${process.execPath}" "${PROGRAM}" ${BOTH.join(' ')} --gate gates.json | true; echo "\${PIPESTATUS[0]}"`;
    const { stdout, stderr } = shell(line, at);
    expect(stdout).toBe('3\n');
    expect(stderr).toContain('gate does not hold: never');
  });

  it('writes JUnit XML whole, whether gates hold or not', () => {
    const at = folder([SAVES, NEVER]);
    spinledger(
      3,
      [...BOTH, '--gate', 'gates.json', '--junit', 'gates.xml', '--format', 'none'],
      at,
    );
    const xml = readFileSync(join(at.cwd, 'gates.xml'), 'utf8');
    expect(xml).toMatch(/^<\?xml .*\?>\n<testsuites tests="2" failures="1" errors="0">\n/);
    expect(filesUnder(at.cwd).filter((name) => name.includes('tmp'))).toEqual([]);
    const args = [...BOTH, '--gate', 'gates.json', '--junit', '-', '--format', 'none'];
    expect(spinledger(3, args, at).stdout).toBe(xml);
  });

  it('does not let JUnit XML take the place of an input, or go nowhere in silence', () => {
    const at = folder([SAVES]);
    const args = [...BOTH, '--gate', 'gates.json', '--junit'];
    for (const file of ['before.json', './after.json', 'gates.json']) {
      expect(spinledger(2, [...args, file], at).stderr).toContain('an input of this command');
    }
    expect(readFileSync(join(at.cwd, 'before.json'), 'utf8')).toBe(RECOVER);
    expect(spinledger(2, [...args, 'no/such/folder.xml'], at).stderr).toContain('no folder');
  });
});

describe('compare with wrong input', () => {
  it('ends with status 2 and the problems of both results', () => {
    const at = folder([], { 'before.json': '{"name": "a car"}', 'after.json': '[' });
    const { stdout, stderr } = spinledger(2, BOTH, at);
    expect(stdout).toBe('');
    expect(stderr).toContain('before.json: found {"name":"a car"}, expected a result');
    expect(stderr).toContain('after.json:1: column 2');
  });

  it.each([
    ['a result that is not there', ['compare', 'befor.json', 'after.json'], 'did you mean'],
    ['an empty standard input', ['compare', '-', 'after.json'], 'standard input'],
    ['an unknown figure', [...BOTH, '--gate', 'gates.json'], 'saving_vs_stop_start_pct'],
    ['gates that are not there', [...BOTH, '--gate', 'no-wrose'], 'did you mean `no-worse`?'],
    [
      'two files of gates',
      [...BOTH, '--gate', 'no-worse', '--gate', 'gates.json'],
      'One gates file',
    ],
    ['two standard inputs', ['compare', '-', '-'], 'not both'],
    ['JUnit XML without gates', [...BOTH, '--junit', 'x.xml'], "add '--gate FILE'"],
    [
      'JUnit XML where the table goes',
      [...BOTH, '--gate', 'gates.json', '--junit', '-'],
      "add '--format none'",
    ],
    ['a dialect without CSV', [...BOTH, '--decimal', ','], "add '--format csv'"],
    ['one result', ['compare', 'before.json'], "missing required argument 'after'"],
  ])('ends with status 2 for %s', (_, args, message) => {
    const at = folder([{ figure: 'saving_vs_stopstart_pct', above: 0 }]);
    const { stdout, stderr } = spinledger(2, args, at);
    expect(stderr).toContain(message);
    expect(stdout).toBe('');
    expect(existsSync(join(at.cwd, 'x.xml'))).toBe(false);
  });
});

describe('compare of studies', () => {
  it('matches their cases, takes their shares, and holds gates against means', () => {
    const study = (strategy: string, share: number) =>
      JSON.stringify({
        name: 'town',
        cars: ['estate'],
        stores: ['rim-45'],
        strategies: [strategy],
        cycles: ['nycc', 'hwfet'],
        vary: [{ path: 'store.power_limit_kW', list: [30, 45] }],
        cycle_shares: { nycc: share, hwfet: 1 - share },
      });
    const mean = { figure: 'saving_vs_stop_start_pct', over: 'mean' };
    const at = folder(
      [
        { ...mean, above: 0 },
        { ...mean, of: 'change', above: 0 },
      ],
      { 'old.json': study('recover', 0.5), 'new.json': study('coast', 0.75) },
    );
    for (const name of ['old', 'new']) {
      spinledger(0, ['study', `${name}.json`, '--out', name, '--format', 'none'], at);
    }
    const args = ['compare', 'old', 'new', '--gate', 'gates.json', '--format', 'json'];
    const { stdout, stderr } = spinledger(0, args, at);
    const document = JSON.parse(stdout);
    expect(document.counts.compared).toBe(4);
    expect(document.means).toMatchObject([{ cycles: 2 }, { cycles: 2 }]);
    expect(document.cycle_shares).toEqual({ from: 'study', shares: { nycc: 0.75, hwfet: 0.25 } });
    expect(stderr).toContain('other shares of cycles; those after are used');
    const same = spinledger(0, ['compare', 'new', 'new'], at).stdout;
    expect(same.replace(/\s+/g, ' ')).toContain('4 unchanged. The inputs are the same');
  });
});
