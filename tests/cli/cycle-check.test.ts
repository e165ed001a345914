import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { CycleCheck } from '../../src/output/cycle-check.ts';
import { COMMUTE, HILL_ROAD, rowsIn, TOWN } from './cycle-tables.ts';
import { filesUnder, spinledger, temporaryFolder } from './program.ts';

function checkOf(expected: number, args: readonly string[], cwd?: string): CycleCheck {
  const surroundings = cwd === undefined ? {} : { cwd };
  const done = spinledger(expected, ['cycle', 'check', ...args, '--format', 'json'], surroundings);
  return JSON.parse(done.stdout);
}

/** A folder with one log in it. */
function folderWith(log: string): string {
  const folder = temporaryFolder();
  writeFileSync(join(folder, 'log.csv'), log);
  return folder;
}

/** A minute at 36 km/h, from an instant on. */
const minute = (from: number) => Array.from({ length: 61 }, (_, k) => `${from + k},36\n`).join('');

describe('cycle check', () => {
  it('ends with status 0 for a log that cleaning mends, and reports all that was found', () => {
    const check = checkOf(0, COMMUTE);
    expect(check.usable).toBe(true);
    expect(check.problems).toEqual([]);
    expect(check.reading).toMatchObject({
      form: 'csv',
      rows: 656,
      header_line: 2,
      units_line: 3,
      ignored_columns: ['engine_speed'],
      comment_lines: 1,
      blank_lines: 1,
    });
    const found = Object.entries(check.cleaning!.findings).filter(([, count]) => count > 0);
    expect(Object.fromEntries(found)).toEqual({
      'duplicate-time': 3,
      'stray-time': 1,
      'no-speed': 2,
      'gap-bridged': 3,
      spike: 2,
      'below-zero': 3,
      'altitude-filled': 6,
    });
    const { before, after } = check.cleaning!;
    expect(before.max_acceleration_m_per_s2).toBeGreaterThan(15);
    expect(after.max_acceleration_m_per_s2).toBeLessThan(2);
    expect(after.tractive_energy_kJ_per_km).toBeLessThan(before.tractive_energy_kJ_per_km!);
    expect(check.altitude!.gain_after_m).toBeLessThan(check.altitude!.gain_before_m);
    expect(check.parts).toHaveLength(1);
  });

  it('says the same in a table within the width of a terminal', () => {
    const { stdout, stderr } = spinledger(0, ['cycle', 'check', ...COMMUTE]);
    expect(stderr).toBe('');
    const [verdict, ...lines] = stdout.split('\n');
    expect(verdict).toMatch(/commute\.csv can be used once it is cleaned$/);
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(80);
    expect(stdout).toMatch(/rows of doubled time stamps +3\n/);
    expect(stdout).toContain('Not read: engine_speed.');
    expect(stdout).toMatch(/tractive energy, kJ\/km +\d+\.\d\d +\d+\.\d\d\n/);
  });

  it('finds nothing in a sound cycle', () => {
    const folder = folderWith(`time_s,speed_kmh\n${minute(0)}`);
    const { stdout } = spinledger(0, ['cycle', 'check', 'log.csv'], { cwd: folder });
    expect(stdout).toMatch(/^log\.csv can be used: nothing has to be cleaned\n/);
    expect(checkOf(0, [TOWN]).usable).toBe(true);
  });

  it('names the parts of a log with gaps, each of which can be used', () => {
    const folder = folderWith(`time_s,speed_kmh\n${minute(0)}${minute(500)}`);
    const check = checkOf(0, ['log.csv'], folder);
    expect(check.parts.map(({ start_s, end_s }) => [start_s, end_s])).toEqual([
      [0, 60],
      [500, 560],
    ]);
    expect(check.parts.map((part) => part.distance_km)).toEqual([0.6, 0.6]);
    const { stdout } = spinledger(0, ['cycle', 'check', 'log.csv'], { cwd: folder });
    expect(stdout).toMatch(/^log\.csv can be used once it is cleaned, in 2 parts\n/);
    expect(checkOf(0, ['log.csv', '--bridge', '600'], folder).parts).toHaveLength(1);
  });

  it('reads GPX', () => {
    const check = checkOf(0, [HILL_ROAD]);
    expect(check.reading).toMatchObject({
      form: 'gpx',
      start: '2024-03-06T07:42:10Z',
      tracks: { tracks: 1, segments: 2, sorted: false },
    });
    expect(check.cleaning?.findings['gap-bridged']).toBe(1);
  });
});

describe('cycle check of what cannot be used', () => {
  it('ends with status 2, with what was found on the way and why', () => {
    // 900 km/h for a while is no spike, and no speed either.
    const fast = '61,900\n62,900\n63,900\n64,900\n65,900\n66,900\n';
    const folder = folderWith(`time_s,speed_kmh\n0,36\n${minute(0)}${fast}`);
    const { stdout, stderr } = spinledger(2, ['cycle', 'check', 'log.csv'], { cwd: folder });
    expect(stdout).toMatch(/^log\.csv cannot be used\n/);
    expect(stdout).toMatch(/row of a doubled time stamp +1\n/);
    expect(stderr).toMatch(/^log\.csv:64: speed_kmh: found 900 km\/h, expected a speed of 500/);
    const check = checkOf(2, ['log.csv'], folder);
    expect(check.usable).toBe(false);
    expect(check.problems).toHaveLength(6);
    expect(check.problems[0]).toMatchObject({ code: 'out-of-range', file: 'log.csv', line: 64 });
    expect(check.cleaning?.findings['duplicate-time']).toBe(1);
    expect(check.parts).toEqual([]);
  });

  it('names the flags where the dialect was guessed wrong', () => {
    const [file] = COMMUTE;
    const bare = spinledger(2, ['cycle', 'check', file]);
    expect(bare.stderr).toContain("read it with `--delimiter ';'`, with `--decimal ,` as well");
    const half = spinledger(2, ['cycle', 'check', file, '--delimiter', ';']);
    expect(half.stderr).toMatch(/commute\.csv:4: time: found 0,0, .*\n {2}hint: .*`--decimal ,`/);
    expect(checkOf(2, [file]).reading).toBeNull();
  });

  it('says what is needed for smoothing where rows are uneven', () => {
    const folder = folderWith('time_s,speed_kmh\n0,9\n1,9\n2.5,9\n3,9\n4.5,9\n5,9\n6,9\n7,9\n');
    const args = ['cycle', 'check', 'log.csv', '--smooth', 't4253h'];
    const { stderr } = spinledger(2, args, { cwd: folder });
    expect(stderr).toMatch(/^log\.csv:4: time: found a step of 1\.5 s, /);
    expect(stderr).toContain('add `--resample SECONDS`');
  });

  it('takes a file as it is with --no-clean', () => {
    const folder = folderWith('time_s,speed_kmh\n0,9\n1,9\n1,9\n2,9\n');
    expect(checkOf(0, ['log.csv'], folder).cleaning?.findings['duplicate-time']).toBe(1);
    const check = checkOf(2, ['log.csv', '--no-clean'], folder);
    expect(check.cleaning).toBeNull();
    expect(check.problems).toMatchObject([{ code: 'time-order', line: 4 }]);
  });

  it.each([
    ['nowhere.csv', /^nowhere\.csv: found no such file/],
    ['.', /^\.: found a folder/],
    [
      'udds',
      /^udds: found a built-in cycle, expected a file\n {2}hint: `spinledger cycle show udds`/,
    ],
  ])('says so of %s', (file, told) => {
    const { stderr } = spinledger(2, ['cycle', 'check', file], { cwd: temporaryFolder() });
    expect(stderr).toMatch(told);
  });
});

describe('cycle check --changes', () => {
  it('lists every change, in the order of the file, as often as the report counts them', () => {
    const folder = temporaryFolder();
    const args = ['cycle', 'check', ...COMMUTE, '--changes', 'changes.csv', '--format', 'json'];
    const check: CycleCheck = JSON.parse(spinledger(0, args, { cwd: folder }).stdout);
    expect(filesUnder(folder)).toEqual(['changes.csv']);
    const rows = rowsIn(readFileSync(join(folder, 'changes.csv'), 'utf8'));
    const counted = Object.entries(check.cleaning!.findings).map(([kind, count]) => [
      kind,
      rows.filter((row) => Object.values(row).includes(kind)).length === count,
    ]);
    expect(counted.filter(([, agrees]) => agrees !== true)).toEqual([]);
    expect(rows).toHaveLength(20);
    const lines = rows.map((row) => Number(Object.values(row)[1]));
    expect(lines).toEqual(lines.toSorted((a, b) => a - b));
  });

  it('goes to standard output alone', () => {
    const args = ['cycle', 'check', ...COMMUTE, '--changes', '-', '--format', 'none'];
    const { stdout, stderr } = spinledger(0, args);
    expect(stderr).toBe('');
    expect(stdout).toMatch(/^time_s,line,kind,speed_before_kmh,speed_after_kmh,clock_before_s,/);
    const spike = rowsIn(stdout).find((row) => Object.values(row).includes('spike'));
    const [, , , before, after] = Object.values(spike!).map(Number);
    expect(before! - after!).toBeGreaterThan(50);
  });

  it('lists all of them, however many there are', () => {
    // More than are listed one by one otherwise.
    const count = 250_001;
    const rows = Array.from({ length: count }, (_, k) => `${k},${k % 2 === 0 ? 40 : 41}\n`);
    const folder = folderWith(`time_s,speed_kmh\n${rows.join('')}`);
    const args = ['cycle', 'check', 'log.csv', '--smooth', 'five-point-mean'];
    spinledger(0, [...args, '--changes', 'c.csv', '--format', 'none'], { cwd: folder });
    const lines = readFileSync(join(folder, 'c.csv'), 'utf8').split('\n').length - 2;
    // The mean of five keeps the first and the last sample.
    expect(lines).toBe(count - 2);
  });

  it('does not take the place of the log', () => {
    const log = `time_s,speed_kmh\n${minute(0)}`;
    const folder = folderWith(log);
    const args = ['cycle', 'check', 'log.csv', '--changes', './log.csv'];
    expect(spinledger(2, args, { cwd: folder }).stderr).toMatch(/^\.\/log\.csv: found an input/);
    expect(readFileSync(join(folder, 'log.csv'), 'utf8')).toBe(log);
  });
});
