import { describe, expect, it } from 'vitest';
import { ROOT, shell, spinledger, temporaryFolder } from './program.ts';

const SUBCOMMANDS = [
  ...['list', 'show', 'check', 'convert', 'join', 'repeat', 'cut', 'scale', 'split'],
] as const;

/** What a subcommand cannot do without. */
const needed = (name: string) => (name === 'split' ? ['--out', 'x'] : []);

describe('cycle', () => {
  it('stands in the help of the program, and lists its subcommands in its own', () => {
    expect(spinledger(0, ['--help']).stdout).toMatch(/^ {2}cycle /m);
    const { stdout } = spinledger(0, ['cycle', '--help']);
    for (const name of SUBCOMMANDS) expect(stdout).toMatch(new RegExp(`^ {2}${name} `, 'm'));
    expect(stdout).toContain('npx spinledger cycle list\n');
  });

  it('shows its help on standard error when no subcommand is given', () => {
    const { stdout, stderr } = spinledger(2, ['cycle']);
    expect(stdout).toBe('');
    expect(stderr).toContain('Commands:');
  });

  it('suggests the subcommand that was meant', () => {
    expect(spinledger(2, ['cycle', 'shwo', 'udds']).stderr).toBe(
      "error: unknown command 'shwo'\n(Did you mean show?)\nspinledger cycle --help says more.\n",
    );
  });

  it.each(SUBCOMMANDS)('has an example in the help of %s that runs as printed', (name) => {
    const { stdout: help, stderr } = spinledger(0, ['cycle', name, '--help']);
    expect(stderr).toBe('');
    expect(help).toMatch(/Exit status: 0 /);
    const lines = help.split('\n');
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(100);
    const line = /^ {2}npx (spinledger .*)$/m.exec(help)?.[1];
    expect(line).toMatch(new RegExp(`^spinledger cycle ${name} `));
    // `split` would leave its folder in the package.
    const cwd = name === 'split' ? temporaryFolder() : ROOT;
    const done = shell(line ?? 'false', { cwd });
    expect(done.status, done.stderr).toBe(0);
    expect(done.stdout.length).toBeGreaterThan(100);
  });

  it.each(SUBCOMMANDS)('points to the help of %s after a slip', (name) => {
    const { stdout, stderr } = spinledger(2, ['cycle', name, ...needed(name), '--frobnicate']);
    expect(stdout).toBe('');
    expect(stderr).toContain("unknown option '--frobnicate'");
    expect(stderr).toMatch(new RegExp(`spinledger cycle ${name} --help says more\\.\n$`));
  });

  it.each([
    [['join', 'udds'], "missing required argument 'others'"],
    [['repeat', 'udds', '0'], 'Expected a whole number from 1 to 1000.'],
    [['repeat', 'udds', '1.5'], 'Expected a whole number from 1 to 1000.'],
    [['repeat', 'udds', '2x'], 'Expected a whole number from 1 to 1000.'],
    [['scale', 'udds', '0'], 'Expected a number from 0.01 to 100 (a factor).'],
    [['scale', 'udds', '0,9'], 'Expected a number from 0.01 to 100 (a factor).'],
    [['cut', 'udds', 'start', '10'], 'Expected a number of seconds.'],
    [['split', 'udds'], "required option '--out <folder>' not specified"],
    [['split', 'udds', '--out', 'x', '--longest-stop', '60'], "add '--trips'"],
    [['split', 'udds', '--out', 'x', '--trips', '--micro-trips'], 'cannot be used with'],
    [['show', 'udds', '--store-energy', '300'], 'give both'],
    [['show', 'udds', '--store-energy', '300', '--store-power', '60'], "add '--car FILE'"],
    [['show', 'udds', '--format', 'none'], 'Allowed choices are table, json, csv, markdown'],
    [['check', 'x.csv', '--changes', '-'], "add '--format none'"],
    [['check', 'x.csv', '--changes', 'y.csv', '--no-clean'], 'drop one of the two'],
    [['convert', 'x.csv', '--no-clean', '--bridge', '9'], 'drop one of the two'],
    [['list', '--format', 'markdown'], 'Allowed choices are table, json, csv'],
  ])('says what is wrong with %j', (args, told) => {
    const cwd = temporaryFolder();
    const { stdout, stderr } = spinledger(2, ['cycle', ...args], { cwd });
    expect(stderr).toContain(told);
    expect(stderr).toMatch(new RegExp(`spinledger cycle ${args[0]} --help says more\\.\n$`));
    expect(stdout).toBe('');
  });
});
