import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Summary } from '../../src/summary/summary.ts';
import { filesUnder, ROOT, shell, spinledger, temporaryFolder } from './program.ts';

const EXAMPLE = ['run', '--car', 'estate', '--store', 'rim-45', '--strategy', 'coast'];
const COMMUTE = join(ROOT, 'examples/logs/commute.csv');
const GPX = join(ROOT, 'examples/logs/hill-road.gpx');
const DIALECT = ['--delimiter', ';', '--decimal', ','];

/** Status 0 whatever is missing: what counts here is how the drive is read. */
const ANY = ['--tolerance', '100'];

function run(args: readonly string[]): { summary: Summary; stderr: string } {
  const { stdout, stderr } = spinledger(0, [...EXAMPLE, ...ANY, ...args, '--format', 'json']);
  return { summary: JSON.parse(stdout), stderr };
}

describe('run with a logged drive', () => {
  it('cleans it, says in one line what that did, and balances it by slope if it is no lap', () => {
    const { summary, stderr } = run(['--cycle', COMMUTE, ...DIALECT]);
    expect(stderr).toMatch(
      /^\S+commute\.csv cleaned: .*rows of doubled time stamps.*; altitude smoothed, climb \d+ -> \d+ m\/100 km; distance .* %\n$/,
    );
    expect(summary.case.cycle).toBe('commute');
    const { balance } = summary.saving;
    expect(Math.abs(summary.cycle.altitude_change_m)).toBeGreaterThan(1);
    expect([balance.method, balance.reason]).toEqual(['slope', 'open_trace']);
    expect(summary.warnings[0]).toMatch(/^The drive ends .* than it begins, so it is not repeated/);
    const { grade_kJ: grade } = summary.ledger.wheel;
    expect(Math.sign(grade)).toBe(Math.sign(summary.cycle.altitude_change_m));
  });

  it('names the flag that it needs', () => {
    const { stderr } = spinledger(2, [...EXAMPLE, '--cycle', COMMUTE]);
    expect(stderr).toMatch(/commute\.csv:2: .*\n {2}hint: .*`--delimiter ';'`, with `--decimal ,`/);
  });

  it('takes GPX', () => {
    const { summary, stderr } = run(['--cycle', GPX]);
    expect(stderr).toMatch(/^\S+hill-road\.gpx cleaned: /);
    expect(summary.cycle.distance_km).toBeGreaterThan(3);
  });

  it('takes it from a pipe', () => {
    const options = `${EXAMPLE.slice(1).join(' ')} ${ANY.join(' ')} --format json`;
    const rest = `--delimiter ';' --decimal , ${options}`;
    const { stdout } = shell(`cat '${COMMUTE}' | spinledger run --cycle /dev/stdin ${rest}`);
    const piped = JSON.parse(stdout) as Summary;
    const { summary } = run(['--cycle', COMMUTE, ...DIALECT]);
    expect(piped.case.cycle).toBe('stdin');
    expect(piped.case.hash).toBe(summary.case.hash);
    expect(piped.fuel).toEqual(summary.fuel);
  });

  it('is another case with every option that changes the drive', () => {
    const hashes = [
      [],
      ['--bridge', '1'],
      ['--smooth', 'savitzky-golay-5', '--resample', '1'],
      ['--resample', '0.5'],
      ['--columns', 'speed=speed'],
    ].map((more) => {
      const args = [...EXAMPLE, ...ANY, '--cycle', COMMUTE, ...DIALECT, ...more];
      const { status, stdout } = shell(
        `spinledger ${[...args, '--format', 'json'].map((arg) => `'${arg}'`).join(' ')}`,
      );
      return status === 0 ? (JSON.parse(stdout) as Summary).case.hash : `status ${status}`;
    });
    expect(new Set(hashes).size).toBe(hashes.length);
  });

  it('of several parts names them, and runs when they are bridged', () => {
    const folder = temporaryFolder();
    const rows = (from: number, to: number) =>
      Array.from({ length: to - from + 1 }, (_, k) => `${from + k},36,0\n`).join('');
    writeFileSync(join(folder, 'log.csv'), `time_s,speed_kmh,x\n${rows(0, 60)}${rows(90, 150)}`);
    const args = [...EXAMPLE, ...ANY, '--cycle', 'log.csv', '--format', 'none'];
    const { stderr } = spinledger(2, args, { cwd: folder });
    expect(stderr).toMatch(/^log\.csv: found 2 parts: 0 to 60 s, 90 to 150 s, expected one part/);
    expect(stderr).toContain('`--bridge SECONDS`');
    const bridged = spinledger(0, [...args, '--bridge', '30'], { cwd: folder });
    expect(bridged.stderr).toBe('log.csv cleaned: 1 gap bridged\n');
  });
});

describe('run with a cycle in the plain form', () => {
  const faulty = 'time_s,speed_kmh\n0,0\n10,30\n10,30\n20,0\n';

  it('drives it as it stands, and says how to clean it where it cannot', () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, 'drive.csv'), faulty);
    const args = [...EXAMPLE, ...ANY, '--cycle', 'drive.csv', '--format', 'none'];
    const { stderr } = spinledger(2, args, { cwd: folder });
    expect(stderr).toMatch(/^drive\.csv:4: time_s: found 10, expected a time later than 10/);
    expect(stderr).toMatch(/if this is a logged drive, add `--clean`, or .* cycle convert`\n$/);
    const cleaned = spinledger(0, [...args, '--clean'], { cwd: folder });
    expect(cleaned.stderr).toMatch(/^drive\.csv cleaned: 1 row of a doubled time stamp/);
    writeFileSync(join(folder, 'good.csv'), faulty.replace('10,30\n', ''));
    const good = [...EXAMPLE, ...ANY, '--cycle', 'good.csv', '--format', 'none'];
    expect(spinledger(0, good, { cwd: folder }).stderr).toBe('');
  });
});

describe('run with a composition', () => {
  it('drives its parts one after the other, known by the drive alone', () => {
    const once = run(['--cycle', 'nycc']).summary;
    const twice = run(['--cycle', '2*nycc']).summary;
    const joined = run(['--cycle', 'nycc + nycc']).summary;
    expect(twice.cycle.distance_km).toBeCloseTo(2 * once.cycle.distance_km, 9);
    expect(twice.case.cycle).toBe('2*nycc');
    expect(joined.case.hash).toBe(twice.case.hash);
    expect(once.case.hash).not.toBe(twice.case.hash);
  });

  it('does not let a log take the place of any of its files', () => {
    const folder = temporaryFolder();
    const text = 'time_s,speed_kmh\n0,0\n10,30\n20,0\n';
    writeFileSync(join(folder, 'drive.csv'), text);
    const args = [...EXAMPLE, '--cycle', 'nycc + 2*drive.csv', '--log', './drive.csv'];
    const { stderr } = spinledger(2, args, { cwd: folder });
    expect(stderr).toMatch(/^--log: found \.\/drive\.csv, an input of this command/);
    expect(readFileSync(join(folder, 'drive.csv'), 'utf8')).toBe(text);
  });
});

describe('options of logged drives', () => {
  it.each([
    [['--no-clean', '--bridge', '5'], "'--bridge' is a part of cleaning, and '--no-clean' leaves"],
    [['--delimiter', '|'], "Expected ',' or ';' or tab."],
    [['--decimal', ';'], "Expected '.' or ','."],
    [['--columns', 'sped=v'], 'Did you mean speed?'],
    [['--columns', 'time=t,sped=v'], 'Did you mean speed?'],
    [['--columns', 'v'], 'Expected QUANTITY=HEADER with one of time, speed,'],
    [['--columns', 'speed='], 'No header stands behind speed=.'],
    [['--columns', 'speed=a,speed=b'], 'speed stands there twice.'],
    [['--smooth', 'mean'], 'Allowed choices are five-point-mean'],
    [['--bridge', '-1'], 'Expected a number from 0 to 3600 (seconds).'],
    [['--resample', '0'], 'Expected a number from 0.001 to 3600 (seconds).'],
    [['--standstill', '3,5'], 'Expected a number from 0 to 20 (km/h).'],
  ])('says what is wrong with %j', (args, told) => {
    const folder = temporaryFolder();
    const { stdout, stderr } = spinledger(2, ['run', ...args], { cwd: folder });
    expect(stderr).toContain(told);
    expect(stdout).toBe('');
    expect(filesUnder(folder)).toEqual([]);
  });

  it.each([
    [['--cycle', 'udds', '--bridge', '5'], '--bridge: found no drive but built-in cycles'],
    [['--cycle', 'udds', '--clean'], '--clean: found no drive but built-in cycles'],
    [['--cycle', 'udds', '--delimiter', ';'], '--delimiter: found no drive but built-in cycles'],
    [
      ['--cycle', 'examples/cycles/town-hills.csv', '--resample', '1'],
      '--resample: found a cycle that is driven as it stands, expected a drive that is cleaned',
    ],
  ])('are refused where they would change nothing (%j)', (args, told) => {
    const { stdout, stderr } = spinledger(2, [...EXAMPLE, ...args]);
    expect(stderr).toContain(told);
    expect(stdout).toBe('');
  });

  it('may name headers with commas in them, and may be given more than once', () => {
    const folder = temporaryFolder();
    const text = `Zeit;"Geschw., Rad";Z\n0;0;1\n10;30,5;1\n20;0;1\n`;
    writeFileSync(join(folder, 'log.csv'), text);
    const columns = ['--columns', 'time=Zeit:s,speed=Geschw., Rad:kmh'];
    const apart = ['--columns', 'time=Zeit:s', '--columns', 'speed=Geschw., Rad:kmh'];
    const [one, two] = [columns, apart].map((given) => {
      const args = [...EXAMPLE, ...ANY, '--cycle', 'log.csv', '--delimiter', ';', '--decimal', ','];
      const { stdout } = spinledger(0, [...args, ...given, '--format', 'json'], { cwd: folder });
      return (JSON.parse(stdout) as Summary).cycle;
    });
    expect(one?.max_speed_kmh).toBeCloseTo(30.5, 9);
    expect(two).toEqual(one);
  });
});
