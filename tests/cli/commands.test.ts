import { cpSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { filesUnder, ROOT, shell, spinledger, temporaryFolder } from './program.ts';

const COMMANDS = ['bound', 'run', 'study', 'schema', 'init'];

describe('the program', () => {
  it('lists its commands in its help', () => {
    const { stdout, stderr } = spinledger(0, ['--help']);
    for (const command of COMMANDS) expect(stdout).toMatch(new RegExp(`^ {2}${command} `, 'm'));
    expect(stderr).toBe('');
  });

  it('prints the version of its package', () => {
    const { version } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'));
    expect(spinledger(0, ['--version']).stdout).toBe(`${version}\n`);
  });

  it('shows its help on standard error when no command is given', () => {
    const { stdout, stderr } = spinledger(2, []);
    expect(stdout).toBe('');
    expect(stderr).toContain('Commands:');
  });

  it('suggests the command that was meant', () => {
    const { stderr } = spinledger(2, ['rnu']);
    expect(stderr).toBe(
      "error: unknown command 'rnu'\n(Did you mean run?)\nspinledger --help says more.\n",
    );
  });

  it.each(COMMANDS)('has an example in the help of %s that runs as printed', (command) => {
    const help = spinledger(0, [command, '--help']).stdout;
    const line = /^ {2}npx (spinledger .*)$/m.exec(help)?.[1];
    expect(line).toMatch(new RegExp(`^spinledger ${command}`));
    expect(help).toContain('Exit status: 0 done');
    // `init` would leave its folder in the package.
    const cwd = command === 'init' ? temporaryFolder() : ROOT;
    const done = shell(line ?? 'false', { cwd });
    expect(done.status, done.stderr).toBe(0);
    expect(done.stdout.length).toBeGreaterThan(100);
  });

  it('tells a defect of its own in one line, with a trace on request', () => {
    // A package without its examples cannot resolve a name: no input of the user is wrong.
    const folder = temporaryFolder();
    for (const name of ['bin', 'dist', 'package.json']) {
      cpSync(join(ROOT, name), join(folder, name), { recursive: true });
    }
    const line = `"${process.execPath}" "${folder}/bin/spinledger.js" run`;
    const plain = shell(line, { cwd: folder });
    expect(plain.status).toBe(1);
    expect(plain.stdout).toBe('');
    expect(plain.stderr).toMatch(/^a defect of spinledger: .*; please report it .*\n$/);
    const traced = shell(line, { cwd: folder, env: { SPINLEDGER_DEBUG: '1' } });
    expect(traced.status).toBe(1);
    expect(traced.stderr).toMatch(/\n\s+at /);
  });
});

describe('schema', () => {
  it.each(['car', 'store', 'strategy', 'study', 'gates'])(
    'prints the JSON Schema of a %s as it ships',
    (file) => {
      const { stdout, stderr } = spinledger(0, ['schema', file]);
      const schema = JSON.parse(stdout);
      expect(schema.$schema).toContain('json-schema.org');
      expect(Object.keys(schema.properties)).toContain('name');
      expect(stdout).toBe(readFileSync(join(ROOT, 'examples/schema', `${file}.json`), 'utf8'));
      expect(stderr).toBe('');
    },
  );

  it('names the files it has schemas of', () => {
    expect(spinledger(2, ['schema', 'engine']).stderr).toContain('car, store, strategy');
    expect(spinledger(2, ['schema']).stderr).toContain("missing required argument 'file'");
  });
});

describe('init', () => {
  it('copies the example set into a new folder, from which it runs', () => {
    const folder = temporaryFolder();
    const { stdout } = spinledger(0, ['init', 'mine'], { cwd: folder });
    const shipped = filesUnder(join(ROOT, 'examples'));
    expect(filesUnder(join(folder, 'mine'))).toEqual(shipped);
    expect(stdout).toContain('mine/cars/estate.json\n');
    const own = ['--car', 'mine/cars/estate.json', '--store', 'mine/stores/rim-45.json'];
    const args = ['run', ...own, '--strategy', 'mine/strategies/plugin.json'];
    spinledger(0, [...args, '--cycle', 'mine/cycles/town-hills.csv'], { cwd: folder });
  });

  it('replaces nothing', () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, 'README.md'), 'mine');
    const { stdout, stderr } = spinledger(2, ['init', '.'], { cwd: folder });
    expect(stdout).toBe('');
    expect(stderr).toMatch(/^README\.md: found a file of that name/);
    expect(filesUnder(folder)).toEqual(['README.md']);
    expect(readFileSync(join(folder, 'README.md'), 'utf8')).toBe('mine');
  });
});
