import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { describe, expect, it } from 'vitest';
import { filesUnder, PROGRAM, shell, spinledger, temporaryFolder } from './program.ts';

/** The options of a log of some hundred megabytes: minutes of writing if nobody stopped it. */
const LONG_LOG = '--log-step 0.001 --format none --log';

describe('a pipe that closes', () => {
  it('ends a long log quietly and at once', () => {
    const line = `spinledger run ${LONG_LOG} - 2>err.txt | head -1; echo "\${PIPESTATUS[0]}"; cat err.txt`;
    const folder = temporaryFolder();
    const [header, status, ...more] = shell(line, { cwd: folder }).stdout.trimEnd().split('\n');
    expect(header).toMatch(/^time_s,/);
    expect(status).toBe('0');
    expect(more.filter((text) => !text.startsWith('Taken from'))).toEqual([]);
  });

  it('is nothing wrong for a summary either', () => {
    const folder = temporaryFolder();
    const line = `spinledger run 2>err.txt | true; echo "\${PIPESTATUS[0]}"; cat err.txt`;
    const { stdout } = shell(line, { cwd: folder });
    expect(stdout).toMatch(/^0\n/);
    expect(stdout).not.toMatch(/EPIPE|\n\s+at |defect/);
  });
});

describe.skipIf(!existsSync('/dev/full'))('a disk that is full', () => {
  it('is told in one message when the log goes there', () => {
    const folder = temporaryFolder();
    const { stdout, stderr } = spinledger(
      2,
      ['run', '--cycle', 'nycc', '--log', '/dev/full', '--format', 'json'],
      { cwd: folder },
    );
    expect(stdout).toBe('');
    expect(stderr.replace(/^Taken.*\n/, '')).toBe(
      '/dev/full: found no space left on the device, expected room for the whole output\n' +
        '  hint: free some space, or write elsewhere\n',
    );
    expect(existsSync('/dev/full')).toBe(true);
    expect(filesUnder(folder)).toEqual([]);
  });

  it('is told in one message when the summary goes there', () => {
    const { status, stderr } = shell('spinledger run --cycle nycc --format json >/dev/full');
    expect(status).toBe(2);
    expect(stderr.replace(/^Taken.*\n/, '')).toMatch(/^standard output: found no space left/);
    expect(stderr).not.toMatch(/\n\s+at /);
  });
});

describe('a place for the log that cannot be written', () => {
  it('is a folder that is not there', () => {
    const folder = temporaryFolder();
    const args = ['run', '--cycle', 'nycc', '--log', 'results/log.csv'];
    const { stdout, stderr } = spinledger(2, args, { cwd: folder });
    expect(stdout).toBe('');
    expect(stderr.replace(/^Taken.*\n/, '')).toBe(
      'results/log.csv: found no folder `results`, expected a folder that is there\n' +
        '  hint: make the folder first, or mend its name\n',
    );
    expect(filesUnder(folder)).toEqual([]);
  });

  it('is a folder itself', () => {
    const folder = temporaryFolder();
    mkdirSync(join(folder, 'results'));
    const { stderr } = spinledger(2, ['run', '--cycle', 'nycc', '--log', 'results'], {
      cwd: folder,
    });
    expect(stderr).toContain('results: found a folder, expected the name of a file\n');
    expect(filesUnder(folder)).toEqual(['results']);
  });

  it('is below a file', () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, 'results'), '');
    const args = ['run', '--cycle', 'nycc', '--log', 'results/log.csv'];
    const { stderr } = spinledger(2, args, { cwd: folder });
    expect(stderr).toContain('results/log.csv: found `results`, which is no folder');
    expect(filesUnder(folder)).toEqual(['results']);
  });
});

describe('an interrupted log', () => {
  it.each(['SIGINT', 'SIGTERM'] as const)(
    'leaves nothing behind, neither half a file nor its beginning, after %s',
    async (signal) => {
      const folder = temporaryFolder();
      writeFileSync(join(folder, 'log.csv'), 'an older log');
      const args = ['run', '--log', 'log.csv', '--log-step', '0.02', '--format', 'json'];
      const child = spawn(process.execPath, [PROGRAM, ...args], {
        cwd: folder,
        stdio: ['ignore', 'pipe', 'pipe'],
      });
      let output = '';
      let told = '';
      child.stdout.on('data', (data) => {
        output += data;
      });
      child.stderr.on('data', (data) => {
        told += data;
      });
      const ended = new Promise((resolve) => child.on('close', resolve));
      while (filesUnder(folder).length === 1 && child.exitCode === null) await pause(2);
      expect(filesUnder(folder)).toHaveLength(2);
      child.kill(signal);
      expect(await ended).toBe(signal === 'SIGINT' ? 130 : 143);
      expect(filesUnder(folder)).toEqual(['log.csv']);
      expect(output).toBe('');
      expect(told).toMatch(/\ninterrupted: log\.csv is not written\n$/);
    },
  );
});

describe('colour', () => {
  const escapeCode = String.fromCharCode(27);
  const colours = (env: Record<string, string>) =>
    spinledger(0, ['run', '--cycle', 'nycc'], { env }).stdout.includes(escapeCode);

  it('stays out of pipes unless it is forced', () => {
    expect(colours({})).toBe(false);
    expect(colours({ FORCE_COLOR: '1' })).toBe(true);
    expect(colours({ FORCE_COLOR: '0' })).toBe(false);
    expect(colours({ NO_COLOR: '1' })).toBe(false);
  });

  it('is never in results for programs', () => {
    for (const format of ['json', 'csv', 'markdown']) {
      const args = ['run', '--cycle', 'nycc', '--format', format];
      const { stdout } = spinledger(0, args, { env: { FORCE_COLOR: '3' } });
      expect(stdout).not.toContain(escapeCode);
    }
  });
});
