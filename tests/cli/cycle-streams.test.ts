import { existsSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { COMMUTE } from './cycle-tables.ts';
import { filesUnder, shell, spinledger, temporaryFolder } from './program.ts';

describe('a pipe that closes', () => {
  it.each([
    'cycle convert udds --resample 0.01',
    'cycle repeat udds 100',
    'cycle show udds --format json',
    'cycle list',
  ])('ends %s quietly', (command) => {
    const line = `spinledger ${command} 2>err.txt | head -1; echo "\${PIPESTATUS[0]}"; cat err.txt`;
    const { stdout } = shell(line, { cwd: temporaryFolder() });
    const [first, status, ...more] = stdout.trimEnd().split('\n');
    expect(first).not.toBe('');
    expect(status).toBe('0');
    expect(more.filter((text) => !text.startsWith('udds read every'))).toEqual([]);
  });
});

describe.skipIf(!existsSync('/dev/full'))('a disk that is full', () => {
  it.each([
    'cycle convert udds > /dev/full',
    'cycle join udds nycc > /dev/full',
    'cycle show udds > /dev/full',
    'cycle list --format csv > /dev/full',
    'cycle convert udds /dev/full',
    'cycle scale udds 0.9 --out /dev/full',
  ])('is told in one message by %s', (command) => {
    const { status, stderr } = shell(`spinledger ${command}`, { cwd: temporaryFolder() });
    expect(status).toBe(2);
    expect(stderr).toMatch(
      /^(standard output|\/dev\/full): found no space left on the device, .*\n {2}hint: .*\n$/,
    );
    expect(existsSync('/dev/full')).toBe(true);
  });
});

describe('a place that cannot be written', () => {
  it.each([
    ['cycle', 'convert', 'nycc', 'no/cycle.csv'],
    ['cycle', 'repeat', 'nycc', '2', '--out', 'no/cycle.csv'],
    ['cycle', 'check', ...COMMUTE, '--changes', 'no/changes.csv'],
  ])('is a folder that is not there (%s %s)', (...args) => {
    const folder = temporaryFolder();
    const { stdout, stderr } = spinledger(2, args, { cwd: folder });
    expect(stdout).toBe('');
    expect(stderr).toMatch(/^no\/(cycle|changes)\.csv: found no folder `no`, /m);
    expect(filesUnder(folder)).toEqual([]);
  });

  it('is a folder itself', () => {
    const folder = temporaryFolder();
    mkdirSync(join(folder, 'out'));
    const { stderr } = spinledger(2, ['cycle', 'convert', 'nycc', 'out'], { cwd: folder });
    expect(stderr).toMatch(/^out: found a folder, expected the name of a file/);
    expect(filesUnder(folder)).toEqual(['out']);
  });
});

describe('colour', () => {
  const escapeCode = String.fromCharCode(27);

  it.each([['list'], ['show', 'nycc'], ['check', ...COMMUTE]])(
    'of cycle %s stays out of pipes unless it is forced, and out of results for programs',
    (...args) => {
      const plain = spinledger(0, ['cycle', ...args]).stdout;
      const painted = spinledger(0, ['cycle', ...args], { env: { FORCE_COLOR: '1' } }).stdout;
      expect(plain).not.toContain(escapeCode);
      expect(painted).toContain(escapeCode);
      const sequence = new RegExp(`${escapeCode}\\[\\d+m`, 'g');
      expect(painted.replace(sequence, '')).toBe(plain);
      const json = spinledger(0, ['cycle', ...args, '--format', 'json'], {
        env: { FORCE_COLOR: '3' },
      });
      expect(json.stdout).not.toContain(escapeCode);
    },
  );
});
