import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { distance, duration } from '../../src/cycle/trace.ts';
import type { PieceList } from '../../src/output/cycle-pieces.ts';
import { cycleNamed } from '../fixtures.ts';
import { expectWithin } from '../within.ts';
import { COMMUTE, cycleFile, cycleIn, rowsIn, TOWN, withoutComments } from './cycle-tables.ts';
import { filesUnder, spinledger, temporaryFolder } from './program.ts';

/** Files of pieces, with their folder. */
const piecesIn = (folder: string, out: string) =>
  filesUnder(join(folder, out)).map((file) => join(out, file));

/** A log of rows a second apart: runs of seconds at a speed. */
function logOf(...runs: readonly (readonly [seconds: number, kmh: number])[]): string {
  const speeds = runs.flatMap(([seconds, kmh]) => new Array<number>(seconds).fill(kmh));
  return speeds.map((kmh, k) => `${k},${kmh}\n`).join('');
}

describe('cycle split --micro-trips', () => {
  it.each(['udds', 'nycc', 'jc08'])('gives pieces of %s that joined are the same again', (name) => {
    const folder = temporaryFolder();
    const args = ['cycle', 'split', name, '--micro-trips', '--out', 'pieces'];
    spinledger(0, args, { cwd: folder });
    const pieces = piecesIn(folder, 'pieces');
    expect(pieces.length).toBeGreaterThan(5);
    const joined = spinledger(0, ['cycle', 'join', ...pieces], { cwd: folder }).stdout;
    const whole = spinledger(0, ['cycle', 'convert', name]).stdout;
    expect(withoutComments(joined)).toBe(withoutComments(whole));
  });

  it('keeps the hills of each piece', () => {
    const folder = temporaryFolder();
    const args = ['cycle', 'split', TOWN, '--micro-trips', '--no-clean', '--out', 'pieces'];
    spinledger(0, args, { cwd: folder });
    const pieces = piecesIn(folder, 'pieces');
    const town = cycleFile(TOWN);
    const joined = cycleIn(spinledger(0, ['cycle', 'join', ...pieces], { cwd: folder }).stdout);
    expect(joined.time).toEqual(town.time);
    expect(joined.speed).toEqual(town.speed);
    // Heights of some 250 m are rounded at 3e-14 m each.
    for (const [k, climb] of town.climb.entries()) {
      expect(Math.abs(joined.climb[k]! - climb)).toBeLessThan(1e-12);
    }
    const texts = pieces.map((piece) => withoutComments(readFileSync(join(folder, piece), 'utf8')));
    expect(texts[0]).toMatch(/^time_s,speed_kmh,altitude_m\n0,0,182\.826\n/);
    const original = withoutComments(readFileSync(TOWN, 'utf8'));
    const last = texts.at(-1)!.trimEnd().split('\n').at(-1)!.split(',').map(Number);
    expect(last).toEqual(original.trimEnd().split('\n').at(-1)!.split(',').map(Number));
  });
});

describe('cycle split --trips', () => {
  it('parts a log at long standstills, which belong to no trip', () => {
    const folder = temporaryFolder();
    const log = logOf([10, 0], [60, 36], [400, 0], [30, 54], [100, 0], [30, 54], [5, 0]);
    writeFileSync(join(folder, 'log.csv'), `time_s,speed_kmh\n${log}`);
    const args = ['cycle', 'split', 'log.csv', '--trips', '--format', 'json'];
    const trips: PieceList = JSON.parse(
      spinledger(0, [...args, '--out', 'trips'], { cwd: folder }).stdout,
    );
    expect(filesUnder(join(folder, 'trips'))).toEqual(['log-01.csv', 'log-02.csv']);
    // The second trip begins with the last row at rest, at 469 s, and has the stop of 100 s in it.
    expect(trips.pieces.map(({ file, start_s, end_s }) => [file, start_s, end_s])).toEqual([
      ['log-01.csv', 0, 70],
      ['log-02.csv', 469, 634],
    ]);
    const short = [...args, '--longest-stop', '60', '--out', 'short'];
    expect(JSON.parse(spinledger(0, short, { cwd: folder }).stdout).pieces).toHaveLength(3);
  });

  it('leaves a drive without a long standstill whole', () => {
    const folder = temporaryFolder();
    spinledger(0, ['cycle', 'split', 'udds', '--trips', '--out', 'x'], { cwd: folder });
    const trip = cycleFile(folder, 'x', 'udds-01.csv');
    expectWithin(distance(trip), distance(cycleNamed('udds')), 1e-12);
    expect(filesUnder(join(folder, 'x'))).toEqual(['udds-01.csv']);
  });
});

describe('cycle split', () => {
  /** Two drives with a gap of 200 s. */
  const gapped = () => {
    const folder = temporaryFolder();
    const second = Array.from({ length: 50 }, (_, k) => `${300 + k},45\n`).join('');
    writeFileSync(join(folder, 'log.csv'), `time_s,speed_kmh\n${logOf([101, 36])}${second}`);
    return folder;
  };

  it('writes the parts of a log with gaps, on its clock', () => {
    const folder = gapped();
    const args = ['cycle', 'split', 'log.csv', '--out', 'parts'];
    const { stdout, stderr } = spinledger(0, args, { cwd: folder });
    // Of 3.86 km as logged, 36 to 45 km/h across the gap of 200 s, 2.25 km are no part of any drive.
    expect(stderr).toBe('log.csv cleaned: 1 gap too long to bridge; distance -58.3 %\n');
    expect(stdout.split('\n').slice(0, 3)).toEqual([
      'file         from s        s       km     mean      top   rest s',
      expect.stringMatching(/^log-01\.csv +0\.0 +100\.0 +1\.000 +36\.0 +36\.0 +0\.0$/),
      expect.stringMatching(/^log-02\.csv +300\.0 +49\.0 +0\.613 +45\.0 +45\.0 +0\.0$/),
    ]);
    expect(cycleFile(folder, 'parts', 'log-02.csv').time[0]).toBe(300);
    spinledger(0, ['run', '--cycle', 'parts/log-02.csv', '--format', 'none'], { cwd: folder });
  });

  it('prints the same figures as CSV', () => {
    const folder = gapped();
    const args = ['cycle', 'split', 'log.csv', '--out', 'parts', '--format', 'csv'];
    expect(rowsIn(spinledger(0, args, { cwd: folder }).stdout)).toMatchObject([
      { file: 'log-01.csv', start_s: '0', end_s: '100', duration_s: '100', standstill_s: '0' },
      { file: 'log-02.csv', start_s: '300', end_s: '349', duration_s: '49', stops: '0' },
    ]);
  });

  it('joins nothing in silence: what is cleaned or left out is said', () => {
    const folder = temporaryFolder();
    const args = ['cycle', 'split', ...COMMUTE, '--out', 'parts'];
    expect(spinledger(0, args, { cwd: folder }).stderr).toMatch(/commute\.csv cleaned: /);
    // A creep of 0.1 m beside a long stop is no trip.
    const log = `time_s,speed_kmh\n${logOf([5, 0], [60, 36], [400, 0], [1, 0.36], [400, 0], [30, 36])}`;
    writeFileSync(join(folder, 'log.csv'), log);
    const trips = ['cycle', 'split', 'log.csv', '--trips', '--out', 'trips'];
    const { stderr } = spinledger(0, trips, { cwd: folder });
    expect(stderr).toMatch(/^1 of less than 1 m left out: no drive$/m);
    expect(filesUnder(join(folder, 'trips'))).toHaveLength(2);
  });

  it('adds moves that are too short for a cycle to the next one', () => {
    const folder = temporaryFolder();
    const log = `time_s,speed_kmh\n${logOf([3, 0], [1, 0.36], [3, 0], [30, 36], [3, 0], [1, 0.36], [3, 0])}`;
    writeFileSync(join(folder, 'log.csv'), log);
    spinledger(0, ['cycle', 'split', 'log.csv', '--micro-trips', '--out', 'x'], { cwd: folder });
    expect(filesUnder(join(folder, 'x'))).toEqual(['log-01.csv']);
    expect(duration(cycleFile(folder, 'x', 'log-01.csv'))).toBe(43);
  });

  it('replaces nothing, and writes nothing where a file is in the way', () => {
    const folder = temporaryFolder();
    mkdirSync(join(folder, 'x'));
    writeFileSync(join(folder, 'x', 'nycc-03.csv'), 'mine');
    const args = ['cycle', 'split', 'nycc', '--micro-trips', '--out', 'x'];
    const { stdout, stderr } = spinledger(2, args, { cwd: folder });
    expect(stdout).toBe('');
    expect(stderr).toMatch(/^x\/nycc-03\.csv: found a file of that name/);
    expect(filesUnder(join(folder, 'x'))).toEqual(['nycc-03.csv']);
    expect(readFileSync(join(folder, 'x', 'nycc-03.csv'), 'utf8')).toBe('mine');
  });

  it('names a folder that cannot be made', () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, 'file'), '');
    const split = (out: string) =>
      spinledger(2, ['cycle', 'split', 'nycc', '--out', out], { cwd: folder }).stderr;
    expect(split('deep/down')).toMatch(/^deep\/down: found no folder `deep`/);
    expect(split('file')).toMatch(/^file: found a file, expected a folder/);
    expect(filesUnder(folder)).toEqual(['file']);
  });
});
