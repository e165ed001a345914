import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { altitudeChange, distance, duration } from '../../src/cycle/trace.ts';
import type { Summary } from '../../src/summary/summary.ts';
import { cycleNamed } from '../fixtures.ts';
import { expectWithin, Worst } from '../within.ts';
import { COMMUTE, cycleFile, cycleIn, HILL_ROAD, TOWN, withoutComments } from './cycle-tables.ts';
import { filesUnder, ROOT, shell, spinledger, temporaryFolder } from './program.ts';

function runOn(args: readonly string[], cwd: string): Summary {
  const done = spinledger(0, ['run', '--car', 'estate', ...args, '--format', 'json'], { cwd });
  return JSON.parse(done.stdout);
}

/** Every number of two ledgers, over the fuel energy of the first. */
function worstDifference(a: Summary, b: Summary): Worst {
  const worst = new Worst();
  const scale = a.ledger.fuel.total_kJ;
  for (const node of ['fuel', 'wheel', 'store', 'electric'] as const) {
    const other = Object.entries(b.ledger[node]);
    for (const [index, [key, value]] of Object.entries(a.ledger[node]).entries()) {
      worst.see(Math.abs(value - other[index]![1]) / scale, () => `${node} ${key}`);
    }
  }
  return worst;
}

describe('cycle convert', () => {
  it.each([
    ['a table', COMMUTE],
    ['a GPX track', [HILL_ROAD]],
  ])('makes a cycle of %s that runs as the log itself does', (_, [log, ...flags]) => {
    const folder = temporaryFolder();
    spinledger(0, ['cycle', 'convert', log!, 'cycle.csv', ...flags], { cwd: folder });
    expect(filesUnder(folder)).toEqual(['cycle.csv']);
    const direct = runOn(['--cycle', log!, ...flags], folder);
    const converted = runOn(['--cycle', 'cycle.csv'], folder);
    expect(converted.cycle.duration_s).toBe(direct.cycle.duration_s);
    // Speeds agree within the last bit and heights within 1e-13 m, some 1e-11 of the work at most.
    worstDifference(direct, converted).expectAtMost(1e-9);
  });

  it('writes to standard output unless a file is named, and says on standard error what it did', () => {
    const { stdout, stderr } = spinledger(0, ['cycle', 'convert', ...COMMUTE]);
    expect(stderr).toMatch(/commute\.csv cleaned: /);
    expect(stdout).toMatch(
      /^# made by spinledger \d.* from .*commute\.csv\n# .*commute\.csv cleaned/,
    );
    expect(spinledger(0, ['cycle', 'convert', COMMUTE[0], '-', ...COMMUTE.slice(1)]).stdout).toBe(
      stdout,
    );
    const trace = cycleIn(stdout);
    expect(duration(trace)).toBe(653);
    // The log begins at some 231 m above the sea, and its altitude is kept, smoothed.
    const [, , altitude] = withoutComments(stdout).split('\n')[1]!.split(',').map(Number);
    expectWithin(altitude!, 231, 0.02);
  });

  it('leaves a plain cycle as it is, number for number', () => {
    const { stdout } = spinledger(0, ['cycle', 'convert', TOWN, '--no-clean']);
    const trace = cycleIn(stdout);
    const town = cycleFile(TOWN);
    for (const column of ['time', 'speed', 'climb', 'level'] as const) {
      expect(trace[column]).toEqual(town[column]);
    }
    expect(withoutComments(stdout).split('\n')[1]).toBe('0,0,182.826');
    const flat = 'time_s,speed_kmh\n0,0\n1,3.3\n2.5,7.1\n4,0.1\n';
    const folder = temporaryFolder();
    writeFileSync(join(folder, 'flat.csv'), flat);
    const again = spinledger(0, ['cycle', 'convert', 'flat.csv'], { cwd: folder });
    expect(withoutComments(again.stdout)).toBe(flat);
  });

  it('cleans a log that only looks like a cycle', () => {
    const folder = temporaryFolder();
    const log = 'time_s,speed_kmh\n0,0\n1,9\n1,9\n2,-0.2\n3,9\n4,18\n';
    writeFileSync(join(folder, 'log.csv'), log);
    const { stdout } = spinledger(0, ['cycle', 'convert', 'log.csv'], { cwd: folder });
    expect(withoutComments(stdout)).toBe('time_s,speed_kmh\n0,0\n1,9\n2,0\n3,9\n4,18\n');
  });

  it('reads at even instants on request, built-in cycles as well', () => {
    const log = spinledger(0, ['cycle', 'convert', ...COMMUTE, '--resample', '0.5']);
    const { time } = cycleIn(log.stdout);
    expect(time.every((t, k) => t === 0.5 * k)).toBe(true);
    const { stdout, stderr } = spinledger(0, ['cycle', 'convert', 'udds', '--resample', '4']);
    const udds = cycleNamed('udds');
    const even = cycleIn(stdout);
    expect(even.time[1]).toBe(4);
    expect(duration(even)).toBe(duration(udds));
    const change = Number(/distance (-?\d+\.\d+) m/.exec(stderr)?.[1]);
    // The message has three decimals.
    expect(Math.abs(distance(even) - distance(udds) - change)).toBeLessThanOrEqual(0.0005);
    expect(change).not.toBe(0);
    const tenth = cycleIn(spinledger(0, ['cycle', 'convert', 'udds', '--resample', '0.1']).stdout);
    // A sum over ten times as many intervals.
    expectWithin(distance(tenth), distance(udds), 1e-12);
  });

  it('reads from a pipe, and writes into one', () => {
    const line =
      "cat examples/logs/commute.csv | spinledger cycle convert /dev/stdin --delimiter ';' --decimal , 2>/dev/null | spinledger cycle show /dev/stdin --format json";
    const { status, stdout, stderr } = shell(line, { cwd: ROOT });
    expect(status, stderr).toBe(0);
    expect(JSON.parse(stdout).cycle.duration_s).toBe(653);
  });

  it('keeps the road of a log that has slopes instead of altitudes', () => {
    const folder = temporaryFolder();
    const rows = Array.from({ length: 200 }, (_, k) => `${k},72,${k < 100 ? 4 : -3}\n`).join('');
    writeFileSync(join(folder, 'log.csv'), `time_s,speed_kmh,grade_pct\n${rows}`);
    const trace = cycleIn(spinledger(0, ['cycle', 'convert', 'log.csv'], { cwd: folder }).stdout);
    // 20 m/s for 99 s at 4 %, 1 s in between, 99 s at -3 %; sin θ of the mean slope of half a per cent.
    const sine = (grade: number) => grade / Math.sqrt(1 + grade * grade);
    const climb = 1980 * sine(0.04) - 1980 * sine(0.03) + 20 * 0.005;
    // The slope within that second bends a little: some 1e-5 m.
    expect(Math.abs(altitudeChange(trace) - climb)).toBeLessThan(1e-3);
  });

  it('refuses a log in several parts, and says how to mend it', () => {
    const folder = temporaryFolder();
    const part = (from: number) =>
      Array.from({ length: 30 }, (_, k) => `${from + k},36\n`).join('');
    writeFileSync(join(folder, 'log.csv'), `time_s,speed_kmh\n${part(0)}${part(100)}`);
    const { stdout, stderr } = spinledger(2, ['cycle', 'convert', 'log.csv', 'out.csv'], {
      cwd: folder,
    });
    expect(stdout).toBe('');
    expect(stderr).toMatch(/log\.csv: found 2 parts: 0 to 29 s, 100 to 129 s, expected one part/);
    expect(stderr).toMatch(/hint: .*--bridge SECONDS.*cycle split/);
    expect(filesUnder(folder)).toEqual(['log.csv']);
    spinledger(0, ['cycle', 'convert', 'log.csv', 'out.csv', '--bridge', '90'], { cwd: folder });
    expect(filesUnder(folder)).toEqual(['log.csv', 'out.csv']);
  });

  it('does not take the place of the log', () => {
    const folder = temporaryFolder();
    const log = 'time_s,speed_kmh\n0,0\n10,36\n20,0\n';
    writeFileSync(join(folder, 'log.csv'), log);
    const args = ['cycle', 'convert', 'log.csv', 'log.csv'];
    expect(spinledger(2, args, { cwd: folder }).stderr).toContain('found an input of this command');
    expect(readFileSync(join(folder, 'log.csv'), 'utf8')).toBe(log);
  });

  it('names what it cannot find', () => {
    const cwd = temporaryFolder();
    expect(spinledger(2, ['cycle', 'convert', 'uds'], { cwd }).stderr).toContain('`udds`?');
    expect(spinledger(2, ['cycle', 'convert', 'a.csv'], { cwd }).stderr).toMatch(
      /^a\.csv: found no such file/,
    );
  });
});
