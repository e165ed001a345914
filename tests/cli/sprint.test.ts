import { copyFileSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { filesUnder, ROOT, shell, spinledger, temporaryFolder } from './program.ts';

const CASE = ['sprint', '--car', 'saloon', '--store', 'rim-60'] as const;

const json = (...more: string[]) =>
  JSON.parse(spinledger(0, [...CASE, '--format', 'json', ...more]).stdout);

/** Rows of a CSV without quoted cells, by the columns that are looked at here. */
type Row = { readonly [Name in (typeof LOOKED_AT)[number]]: string };
const LOOKED_AT = [
  'fill',
  't_0_100_kmh_s',
  'boost_s',
  'boost_ended',
  'engine_limit_adhesion_s',
  'manoeuvre',
  'store',
  'time_s',
  'duration_s',
  'speed_kmh',
  'gear',
  'engine_limit',
  'store_limit',
  'store_power_kW',
] as const;

function table(text: string): Row[] {
  const [header, ...lines] = text.trimEnd().split('\n');
  const names = header!.split(',');
  return lines.map((line) => {
    const cells = line.split(',');
    return Object.fromEntries(names.map((name, i) => [name, cells[i]!])) as Row;
  });
}

describe('sprint', () => {
  it('has an example in its help that runs as printed, in lines that fit', () => {
    const help = spinledger(0, ['sprint', '--help']).stdout;
    const line = /^ {2}npx (spinledger .*)$/m.exec(help)?.[1];
    expect(shell(line ?? 'false').status).toBe(0);
    expect(help).toContain('Exit status: 0 done');
    for (const text of help.split('\n')) expect(text.length).toBeLessThanOrEqual(96);
  });

  it('prints times with and without the store in 80 columns, and its cautions apart', () => {
    const { stdout, stderr } = spinledger(0, CASE);
    expect(stdout).toMatch(/0–100 km\/h, s +\d\.\d\d +\d\.\d\d +\d\.\d\d +\d\.\d\d\n/);
    expect(stdout).toContain('saloon at full load, without and with rim-60');
    for (const line of stdout.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
    expect(stderr).toContain('can burst');
    expect(stderr).not.toContain('shipped example');
  });

  it("says on which part the figures are not the user's own", () => {
    expect(spinledger(0, ['sprint', '--format', 'none']).stderr).toBe(
      'Taken from the shipped example, an invented scenario: car estate, store rim-45.\n',
    );
  });

  it('gives JSON with the keys that jobs read, the same bytes each time', () => {
    const { stdout, stderr } = spinledger(0, [...CASE, '--format', 'json']);
    expect(spinledger(0, [...CASE, '--format', 'json']).stdout).toBe(stdout);
    expect(stderr).toBe('');
    const summary = JSON.parse(stdout);
    expect(summary).toMatchObject({
      schema_version: 1,
      tool: expect.stringMatching(/^spinledger \d/),
      case: { car: 'saloon', store: 'rim-60', hash: expect.stringMatching(/^[0-9a-f]{16}$/) },
      conditions: { driven_axle: 'rear', tyre_adhesion: 0.9, grade_pct: 0, shift_time_s: 0.2 },
    });
    const { with_store: withStore, without_store: without } = summary;
    for (const key of [
      't_0_100_kmh_s',
      't_0_60_mph_s',
      't_80_120_kmh_s',
      't_400_m_s',
      't_1_km_s',
    ]) {
      expect(withStore[key], key).toBeLessThan(without[key]);
    }
    expect(withStore.boost_s).toBeGreaterThan(1);
    expect(without.boost_s).toBeNull();
    expect(Object.keys(without)).toEqual(Object.keys(withStore));
    expect(withStore.ledger.closure_relative).toBeLessThan(1e-9);
  });

  it('leaves a key null that is not reached, and says why', () => {
    const summary = json('--grade', '12', '--car', 'van');
    const { without_store: without } = summary;
    expect(without.t_80_120_kmh_s).toBeNull();
    expect(without.not_reached.join(' ')).toMatch(/80–120 km\/h: the car gets no faster than \d/);
    const { stdout } = spinledger(0, ['sprint', '--grade', '12', '--car', 'van']);
    expect(stdout).toMatch(/80–120 km\/h, s +–/);
    expect(stdout).toMatch(/! .*80–120 km\/h: the car gets no faster than/);
  });

  it('says that a car does not move off', () => {
    const { without_store: without } = json('--grade', '60', '--adhesion', '0.3');
    expect(without.t_0_50_kmh_s).toBeNull();
    expect(without.not_reached[0]).toBe(
      'From rest, 50 km/h, 60 mph, 100 km/h, 400 m, 1 km: the car does not move off.',
    );
  });

  it('is another case on another road, and the same one at the defaults', () => {
    const { hash } = json().case;
    expect(json('--grade', '0', '--cruise-speed', '80').case.hash).toBe(hash);
    expect(json('--adhesion', '0.5').case.hash).not.toBe(hash);
    expect(json('--cruise-speed', '90').case.hash).not.toBe(hash);
  });

  it('gives CSV with a row for each fill, and Markdown with ledger and cautions', () => {
    const rows = table(spinledger(0, [...CASE, '--format', 'csv']).stdout);
    expect(rows.map(({ fill }) => fill)).toEqual(['none', 'empty', 'half', 'full']);
    expect(Number(rows[3]!.t_0_100_kmh_s)).toBe(json().with_store.t_0_100_kmh_s);
    expect(rows[0]!.boost_s).toBe('');
    expect(rows.map(({ boost_ended }) => boost_ended)).toEqual(['', '0', '1', '1']);
    expect(Number(rows[0]!.engine_limit_adhesion_s)).toBeGreaterThan(1);
    const markdown = spinledger(0, [...CASE, '--format', 'markdown']).stdout;
    expect(markdown).toContain('### Energy of the standing start, kJ');
    expect(markdown).toContain('### Cautions');
  });
});

describe('the trace of a sprint', () => {
  it('has every drive, and adds up to the figures', () => {
    const folder = temporaryFolder();
    const file = join(folder, 'trace.csv');
    const { stdout } = spinledger(0, [...CASE, '--format', 'json', '--trace', file]);
    const { with_store: withStore } = JSON.parse(stdout);
    const rows = table(readFileSync(file, 'utf8'));
    expect(filesUnder(folder)).toEqual(['trace.csv']);
    const drives = new Set(rows.map(({ manoeuvre, store }) => `${manoeuvre} ${store}`));
    expect(drives.size).toBe(8);
    const full = rows.filter(
      ({ manoeuvre, store }) => manoeuvre === 'standing_start' && store === 'full',
    );
    const sum = (of: (row: Row) => number) =>
      full.reduce((total, row) => total + of(row) * Number(row.duration_s), 0);
    const assisted = sum((row) => Number(row.store_power_kW));
    expect(Math.abs(assisted / withStore.ledger.store_work_kJ - 1)).toBeLessThan(1e-9);
    expect(Math.abs(sum((row) => Number(row.speed_kmh) / 3.6) - 1000)).toBeLessThan(1e-6);
    const gap = sum((row) => (row.engine_limit === 'gear_change' ? 1 : 0));
    expect(Math.abs(gap / withStore.engine_limit_s.gear_change - 1)).toBeLessThan(1e-9);
    expect(new Set(full.map((row) => row.store_limit))).toContain('torque');
    expect(rows[0]).toMatchObject({ store: 'none', store_power_kW: '', time_s: '0', gear: '1' });
  });

  it('goes to standard output on its own', () => {
    const { stdout } = spinledger(0, [...CASE, '--trace', '-', '--format', 'none']);
    expect(stdout).toMatch(/^manoeuvre,store,time_s,/);
    expect(spinledger(2, [...CASE, '--trace', '-']).stderr).toContain("add '--format none'");
  });

  it('ends quietly when its reader has seen enough', () => {
    const { status, stdout, stderr } = shell(
      'set -o pipefail; spinledger sprint --car bus --store large --trace - --format none | head -2',
    );
    expect(status).toBe(0);
    expect(stderr).toBe('');
    expect(stdout.trimEnd().split('\n').length).toBe(2);
  });

  it('never takes the place of an input, even through a link', () => {
    const folder = temporaryFolder();
    copyFileSync(join(ROOT, 'examples/cars/saloon.json'), join(folder, 'car.json'));
    symlinkSync('car.json', join(folder, 'link'));
    for (const trace of ['car.json', 'link']) {
      const args = ['sprint', '--car', 'car.json', '--trace', trace];
      expect(spinledger(2, args, { cwd: folder }).stderr).toContain('an input of this command');
    }
    expect(readFileSync(join(folder, 'car.json'), 'utf8')).toContain('saloon');
  });
});

describe('bad usage of sprint', () => {
  it.each([
    [['--grade', '90'], 'Expected a number from -30 to 60'],
    [['--adhesion', 'wet'], 'Expected a number from 0.05 to 1.5'],
    [['--cruise-speed', '0'], 'Expected a number from 5 to 250'],
    [['--format', 'xml'], 'Allowed choices are table, json, csv, markdown, none'],
    [['--car', 'salon'], 'did you mean `saloon`?'],
    [['--trace', 'no/such/folder.csv'], 'make the folder first'],
  ])('%s is told', (args, message) => {
    const { stderr, stdout } = spinledger(2, ['sprint', ...args]);
    expect(stderr).toContain(message);
    expect(stdout).toBe('');
  });
});

describe('section `sprint` of a car file', () => {
  const saloon = JSON.parse(readFileSync(join(ROOT, 'examples/cars/saloon.json'), 'utf8'));

  function run(sprint: unknown, command: readonly string[], status = 0) {
    const cwd = temporaryFolder();
    writeFileSync(join(cwd, 'car.json'), JSON.stringify({ ...saloon, sprint }));
    return spinledger(status, [...command, '--car', 'car.json', '--format', 'json'], { cwd });
  }

  it('changes the sprint and its hash, and neither result nor hash of a drive cycle', () => {
    const sprints = [{}, { driven_axle: 'rear', shift_time_s: 1, launch_speed_rpm: 2000 }].map(
      (section) => JSON.parse(run(section, ['sprint']).stdout),
    );
    expect(sprints[0].conditions).toMatchObject({ driven_axle: 'front', tyre_adhesion: 0.9 });
    expect(sprints[1].conditions).toMatchObject({ driven_axle: 'rear', shift_time_s: 1 });
    expect(sprints[0].case.hash).not.toBe(sprints[1].case.hash);
    const cycle = ['run', '--cycle', 'nycc'];
    const texts = [undefined, {}, { driven_axle: 'rear', tyre_adhesion: 0.5 }].map(
      (section) => run(section, cycle).stdout,
    );
    expect(new Set(texts).size).toBe(1);
  });

  it('is checked', () => {
    const slow = run({ launch_speed_rpm: 5000 }, ['sprint'], 2).stderr;
    expect(slow).toContain('sprint.launch_speed_rpm');
    expect(slow).toContain('4600 1/min');
    const misspelt = run({ driven_axel: 'rear' }, ['sprint'], 2).stderr;
    expect(misspelt).toContain('did you mean `driven_axle`?');
  });
});
