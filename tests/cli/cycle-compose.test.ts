import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { altitudeChange, distance, duration } from '../../src/cycle/trace.ts';
import { cycleNamed } from '../fixtures.ts';
import { expectWithin } from '../within.ts';
import { COMMUTE, cycleFile, cycleIn, TOWN, withoutComments } from './cycle-tables.ts';
import { filesUnder, spinledger, temporaryFolder } from './program.ts';

/** Sums of some thousand terms in doubles. */
const ROUNDING = 1e-12;
const udds = cycleNamed('udds');
const hwfet = cycleNamed('hwfet');

const cycleOf = (args: readonly string[], cwd?: string) =>
  cycleIn(spinledger(0, ['cycle', ...args], cwd === undefined ? {} : { cwd }).stdout);

describe('cycle join', () => {
  it('adds up times, distances and heights', () => {
    const trace = cycleOf(['join', 'udds', TOWN, 'hwfet']);
    const town = cycleFile(TOWN);
    expect(duration(trace)).toBe(duration(udds) + duration(town) + duration(hwfet));
    expectWithin(distance(trace), distance(udds) + distance(town) + distance(hwfet), ROUNDING);
    // The town round ends at the height at which it begins.
    expect(Math.abs(altitudeChange(trace))).toBeLessThan(1e-9);
    expect(trace.climb.some((climb) => climb > 0)).toBe(true);
  });

  it('gives what the composition gives, and says where it comes from', () => {
    const { stdout } = spinledger(0, ['cycle', 'join', '2*udds', 'hwfet']);
    expect(stdout).toMatch(/^# made by spinledger \d.* from 2\*udds \+ hwfet\n/);
    const composed = spinledger(0, ['cycle', 'convert', '2*udds + hwfet']).stdout;
    expect(withoutComments(stdout)).toBe(withoutComments(composed));
  });

  it('names every input that cannot be used, and seams where the speeds do not agree', () => {
    const { stderr } = spinledger(2, ['cycle', 'join', 'uds', 'udds', 'hwft']);
    expect(stderr).toContain('did you mean `udds`?');
    expect(stderr).toContain('did you mean `hwfet`?');
    const seam = spinledger(2, ['cycle', 'join', 'udds[0..300]', 'hwfet']);
    expect(seam.stdout).toBe('');
    expect(seam.stderr).toMatch(/ends at .* km\/h, .*`hwfet` begins at 0 km\/h/);
  });
});

describe('cycle repeat', () => {
  it('multiplies time and distance', () => {
    const trace = cycleOf(['repeat', 'udds', '3']);
    expect(duration(trace)).toBe(3 * duration(udds));
    expectWithin(distance(trace), 3 * distance(udds), ROUNDING);
  });

  it('refuses a cycle that ends faster than it begins', () => {
    const { stderr } = spinledger(2, ['cycle', 'repeat', 'udds[0..300]', '2']);
    expect(stderr).toMatch(/^udds\[0\.\.300\]: found .*expected speeds that agree/);
  });
});

describe('cycle cut', () => {
  it('gives stretches that add up to the whole, on its clock', () => {
    const first = cycleOf(['cut', 'udds', '0', '505.5']);
    const second = cycleOf(['cut', 'udds', '505.5', '1369']);
    expect(second.time[0]).toBe(505.5);
    expectWithin(distance(first) + distance(second), distance(udds), ROUNDING);
  });

  it.each([
    ['1000', '2000'],
    ['-5', '20'],
    ['300', '200'],
  ])('refuses %s s to %s s', (from, to) => {
    const { stdout, stderr } = spinledger(2, ['cycle', 'cut', 'udds', from, to]);
    expect(stdout).toBe('');
    expect(stderr).toContain(`udds: found from ${from} s to ${to} s, expected two instants`);
    expect(stderr).toContain('between 0 s and 1369 s');
  });

  it('takes a stretch within one part of a log with gaps, and none across a gap', () => {
    const folder = temporaryFolder();
    const part = (from: number) =>
      Array.from({ length: 61 }, (_, k) => `${from + k};36\n`).join('');
    writeFileSync(join(folder, 'log.csv'), `time_s;speed_kmh\n${part(0)}${part(300)}`);
    const log = ['log.csv', '--delimiter', ';'];
    const trace = cycleOf(['cut', ...log, '310', '320.5'], folder);
    expectWithin(distance(trace), 105, ROUNDING);
    const { stderr } = spinledger(2, ['cycle', 'cut', ...log, '50', '310'], { cwd: folder });
    expect(stderr).toContain('within one part of the log');
    expect(stderr).toContain('0 to 60 s, 300 to 360 s');
    const bridged = cycleOf(['cut', ...log, '--bridge', '300', '50', '310'], folder);
    expect(duration(bridged)).toBe(260);
  });
});

describe('cycle scale', () => {
  it('multiplies speeds, distance and heights', () => {
    const town = cycleFile(TOWN);
    const trace = cycleOf(['scale', TOWN, '0.9']);
    expect(duration(trace)).toBe(duration(town));
    expectWithin(distance(trace), 0.9 * distance(town), ROUNDING);
    const up = (climb: Float64Array) => climb.reduce((sum, rise) => sum + Math.max(0, rise), 0);
    expectWithin(up(trace.climb), 0.9 * up(town.climb), 1e-9);
  });

  it('stretches time on the same road with --time', () => {
    const trace = cycleOf(['scale', 'udds', '1.25', '--time']);
    expectWithin(duration(trace), 1.25 * duration(udds), ROUNDING);
    expectWithin(distance(trace), distance(udds), ROUNDING);
  });
});

describe('the commands that make one cycle of another', () => {
  const LINES = [
    ['join', 'udds', 'nycc'],
    ['repeat', 'nycc', '2'],
    ['cut', 'udds', '0', '125'],
    ['scale', 'udds', '1.1'],
  ];

  it.each(LINES)('write %s to --out, whole, as to standard output', (...args) => {
    const folder = temporaryFolder();
    const { stdout } = spinledger(0, ['cycle', ...args], { cwd: folder });
    expect(filesUnder(folder)).toEqual([]);
    const done = spinledger(0, ['cycle', ...args, '--out', 'out.csv'], { cwd: folder });
    expect(done.stdout).toBe('');
    expect(filesUnder(folder)).toEqual(['out.csv']);
    expect(readFileSync(join(folder, 'out.csv'), 'utf8')).toBe(stdout);
    spinledger(0, ['run', '--cycle', 'out.csv', '--format', 'none'], { cwd: folder });
  });

  it.each([
    ['cut', 'udds', '0', '10'],
    ['repeat', 'udds[0..10]', '2'],
    ['show', 'udds[0..10]', '--format', 'json'],
    ['convert', 'udds[0..10]'],
  ])('refuse a stretch in which the car stands still: %s %s', (...args) => {
    const { stdout, stderr } = spinledger(2, ['cycle', ...args]);
    expect(stdout).toBe('');
    expect(stderr).toMatch(/^udds.*: found a stretch of 0\.00 m, expected a distance of 1 m/);
  });

  it('take logs, and say what cleaning did to them once', () => {
    const [file, ...flags] = COMMUTE;
    const { stderr } = spinledger(0, ['cycle', 'repeat', file, '2', ...flags]);
    expect(stderr).toMatch(/^.*commute\.csv cleaned: .*\n$/);
  });

  it('do not take the place of what they are made from', () => {
    const folder = temporaryFolder();
    const cycle = 'time_s,speed_kmh\n0,0\n10,36\n20,0\n';
    writeFileSync(join(folder, 'a.csv'), cycle);
    const args = ['cycle', 'scale', '2*a.csv', '0.5', '--out', 'a.csv'];
    const { stderr } = spinledger(2, args, { cwd: folder });
    expect(stderr).toContain('a.csv: found an input of this command');
    expect(readFileSync(join(folder, 'a.csv'), 'utf8')).toBe(cycle);
  });
});
