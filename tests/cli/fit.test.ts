import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { loadCar, loadStore } from '../../src/config/load.ts';
import { KMH } from '../../src/config/units.ts';
import { expectWithin } from '../within.ts';
import { ROOT, shell, spinledger, temporaryFolder } from './program.ts';

const MEASURED = join(ROOT, 'examples', 'measured');
const measured = (name: string) => join(MEASURED, name);

const COASTDOWN = ['fit', 'coastdown', measured('coastdown.csv'), '--mass', '1475'];

// The log of a drive follows the model and the example files: after a change of these,
// `node examples/measured/make.mjs` makes it anew.
describe('the measured examples', () => {
  it('come out of their making script to the byte', () => {
    const folder = temporaryFolder();
    const { status, stderr } = shell(`node "${measured('make.mjs')}" "${folder}"`);
    expect(stderr).toBe('');
    expect(status).toBe(0);
    const names = shell(`ls "${folder}"`).stdout.trim().split('\n');
    expect(names.length).toBeGreaterThan(0);
    for (const name of names) {
      const again = readFileSync(join(folder, name), 'utf8');
      expect(again, name).toBe(readFileSync(measured(name), 'utf8'));
    }
  });
});

describe('spinledger fit coastdown', () => {
  it('finds what the example was made with, within its intervals', () => {
    const { stdout } = spinledger(0, [...COASTDOWN, '--format', 'json']);
    const { measured: force, pairs, interval, reference } = JSON.parse(stdout);
    const truth = { f0_N: 142, f1_N_per_kmh: 1.3 * KMH, f2_N_per_kmh2: 0.39 * KMH * KMH };
    for (const [key, value] of Object.entries(truth)) {
      expect(Math.abs(force[key].value - value), key).toBeLessThan(force[key].ci95);
      expect(force[key].ci95, key).toBeLessThan(0.2 * value);
    }
    expect(pairs).toHaveLength(3);
    expect(pairs[0].slope_pct.value).toBeCloseTo(0.2, 1);
    expect(interval).toMatchObject({ confidence_pct: 95, basis: 'pairs', degrees_of_freedom: 6 });
    expect(reference).toBeNull();
  });

  it('prints a block that a car file takes as it stands', async () => {
    const { stdout } = spinledger(0, [...COASTDOWN, '--temperature', '12', '--pressure', '99.1']);
    const lines = stdout.split('\n');
    const block = JSON.parse(`{${lines.slice(lines.indexOf('For the car file') + 1).join('\n')}}`);
    const folder = temporaryFolder();
    const car = JSON.parse(readFileSync(join(ROOT, 'examples/cars/estate.json'), 'utf8'));
    const path = join(folder, 'car.json');
    writeFileSync(path, JSON.stringify({ ...car, ...block }));
    const { roadLoad } = (await loadCar(path)).value;
    expectWithin(roadLoad.rolling, block.road_load.f0_N, 1e-12);
    expectWithin(roadLoad.square * KMH * KMH, block.road_load.f2_N_per_kmh2, 1e-12);
  });

  it('says what belongs to it on standard error, and nothing there for a pipe', () => {
    expect(spinledger(0, COASTDOWN).stderr).toContain('public road');
    expect(spinledger(0, [...COASTDOWN, '--format', 'json']).stderr).toBe('');
    expect(spinledger(0, [...COASTDOWN, '--format', 'none']).stdout).toBe('');
  });

  it('keeps to 80 columns', () => {
    for (const line of spinledger(0, COASTDOWN).stdout.split('\n')) {
      expect(line.length, line).toBeLessThanOrEqual(80);
    }
  });

  it('writes a residual a sample, in the dialect that is asked for', () => {
    const plain = spinledger(0, [...COASTDOWN, '--format', 'csv'])
      .stdout.trim()
      .split('\n');
    expect(plain[0]).toBe('pair,run,direction,time_s,speed_kmh,fitted_speed_kmh,residual_kmh');
    const rows = plain.slice(1).map((row) => row.split(','));
    expect(rows.length).toBeGreaterThan(900);
    const mean = rows.reduce((sum, row) => sum + Number(row[6]), 0) / rows.length;
    expect(Math.abs(mean)).toBeLessThan(0.02);
    const other = spinledger(0, [...COASTDOWN, '--format', 'csv', '--out-decimal', ',']).stdout;
    expect(other.replaceAll(',', '.').replaceAll(';', ',').trim()).toBe(plain.join('\n'));
  });

  it('prints Markdown with the block and the cautions', () => {
    const { stdout } = spinledger(0, [...COASTDOWN, '--format', 'markdown']);
    expect(stdout).toContain('```json');
    expect(stdout).toContain('### Cautions');
  });

  it('takes runs in files of their own, with the other direction behind --back', () => {
    const folder = temporaryFolder();
    const rows = readFileSync(measured('coastdown.csv'), 'utf8').trim().split('\n').slice(3);
    const file = (run: string) => {
      const own = rows.filter((row) => row.startsWith(`${run},`));
      const path = join(folder, `${run}.csv`);
      const text = own.map((row) => row.split(',').slice(2).join(';').replaceAll('.', ','));
      writeFileSync(path, ['Zeit [s];v [km/h]', ...text, ''].join('\n'));
      return path;
    };
    const args = ['--delimiter', ';', '--decimal', ',', '--columns', 'time=Zeit [s]'];
    const several = spinledger(0, [
      ...['fit', 'coastdown', file('1a'), file('2a'), file('3a'), ...args],
      ...['--back', file('1b'), file('2b'), file('3b'), '--mass', '1475', '--format', 'json'],
    ]);
    const one = spinledger(0, [...COASTDOWN, '--format', 'json']);
    const [a, b] = [several, one].map(({ stdout }) => JSON.parse(stdout).measured);
    expect(a).toEqual(b);
  });

  it('takes the mass from a car file', () => {
    const args = ['fit', 'coastdown', measured('coastdown.csv'), '--format', 'json'];
    const { stdout } = spinledger(0, [...args, '--car', 'compact']);
    const car = JSON.parse(readFileSync(join(ROOT, 'examples/cars/compact.json'), 'utf8'));
    expect(JSON.parse(stdout).mass_kg).toBe(car.mass_kg);
  });

  it.each([
    ['no mass', ['fit', 'coastdown', measured('coastdown.csv')], '--mass KG'],
    ['half of the weather', [...COASTDOWN, '--temperature', '12'], 'go together'],
    ['a dialect without CSV', [...COASTDOWN, '--out-decimal', ','], '--format csv'],
    ['a range the wrong way', [...COASTDOWN, '--from', '10'], 'exchange them'],
    ['no such file', ['fit', 'coastdown', 'nowhere.csv', '--mass', '1475'], 'no such file'],
    ['an unknown quantity', [...COASTDOWN, '--columns', 'sped=v'], 'Did you mean speed?'],
    [
      'a column of directions and --back',
      [...COASTDOWN, '--back', measured('coastdown.csv')],
      'leave `--back` out',
    ],
    ['a decimal comma between commas', [...COASTDOWN, '--decimal', ','], '--delimiter'],
  ])('refuses %s', (_, args, message) => {
    const { stdout, stderr } = spinledger(2, args);
    expect(stdout).toBe('');
    expect(stderr).toContain(message);
  });

  it('warns where a single pair knows nothing of others', () => {
    const folder = temporaryFolder();
    const path = join(folder, 'two.csv');
    const rows = readFileSync(measured('coastdown.csv'), 'utf8').split('\n');
    writeFileSync(path, rows.filter((row) => !/^[23]/.test(row)).join('\n'));
    const { stdout } = spinledger(0, ['fit', 'coastdown', path, '--mass', '1475']);
    expect(stdout.replace(/\s+/g, ' ')).toContain('There is one pair of runs');
  });

  it('names a deceleration that no coasting car has', () => {
    const { stderr } = spinledger(2, [...COASTDOWN, '--columns', 'time=time_s:ms']);
    expect(stderr).toContain('are the units of time and speed right?');
  });
});

const SPINDOWN = ['fit', 'spindown', measured('spindown.csv'), '--inertia', '0.0312'];

describe('spinledger fit spindown', () => {
  it('finds the law and the drag that the example was made with', () => {
    const { stdout } = spinledger(0, [...SPINDOWN, '--format', 'json']);
    const sheet = JSON.parse(stdout);
    expect(sheet.law).toBe('constant and linear');
    expect(Math.abs(sheet.c0_Nm.value - 0.034)).toBeLessThan(sheet.c0_Nm.ci95);
    expect(Math.abs(sheet.c1_Nm_s_per_rad.value - 2.1e-5)).toBeLessThan(sheet.c1_Nm_s_per_rad.ci95);
    expect(sheet.c0_Nm.ci95).toBeLessThan(0.01 * sheet.c0_Nm.value);
    expect(sheet.c2_Nm_s2_per_rad2).toBeNull();
    expect(sheet.residual_rpm).toBeCloseTo(6, 0);
    expect(sheet.laws).toHaveLength(6);
  });

  it('prints a block that a store file takes as it stands', async () => {
    const lines = spinledger(0, SPINDOWN).stdout.split('\n');
    const from = lines.findIndex((line) => line.startsWith('For the store file')) + 1;
    const block = JSON.parse(`{${lines.slice(from).join('\n')}}`);
    const store = JSON.parse(readFileSync(join(ROOT, 'examples/stores/rim-60.json'), 'utf8'));
    const path = join(temporaryFolder(), 'store.json');
    writeFileSync(path, JSON.stringify({ ...store, rotor: { ...store.rotor, ...block } }));
    const { drag } = (await loadStore(path)).value.rotor;
    expect(drag).toMatchObject({ form: 'coefficients', c0: block.drag.c0_Nm, c2: 0 });
  });

  it('reads the pressure of free molecules where the shape is known, and doubts it', () => {
    const args = ['fit', 'spindown', measured('spindown.csv'), '--store', 'rim-45'];
    const { stdout, stderr } = spinledger(0, args);
    expect(stdout).toContain('pressure if c1 were all windage');
    expect(stdout.replace(/\s+/g, ' ')).toContain('no free molecules');
    expect(stderr).toContain('containment');
  });

  it('writes a residual a sample', () => {
    const rows = spinledger(0, [...SPINDOWN, '--format', 'csv'])
      .stdout.trim()
      .split('\n');
    expect(rows[0]).toBe('time_s,rotor_speed_rpm,fitted_rotor_speed_rpm,residual_rpm');
    expect(rows).toHaveLength(902);
  });

  it.each([
    ['no inertia', ['fit', 'spindown', measured('spindown.csv')], '--inertia KG_M2'],
    [
      'a table of something else',
      ['fit', 'spindown', measured('coastdown.csv'), '--inertia', '1'],
      'rotor_speed',
    ],
    [
      'a wrong unit',
      [...SPINDOWN, '--columns', 'rotor_speed=rotor_speed_rpm:Hz'],
      'is the unit right?',
    ],
  ])('refuses %s', (_, args, message) => {
    const { stdout, stderr } = spinledger(2, args);
    expect(stdout).toBe('');
    expect(stderr).toContain(message);
  });
});

const ENGINE = [
  'fit',
  'engine',
  measured('engine.csv'),
  '--displacement',
  '1.6',
  '--fuel',
  'diesel',
];

describe('spinledger fit engine', () => {
  it('finds what the example was made with, within its intervals', () => {
    const sheet = JSON.parse(spinledger(0, [...ENGINE, '--format', 'json']).stdout);
    const truth = { efficiency: 0.436, p0_bar: 1.28, p1_bar_per_1000rpm: 0.22 };
    for (const [key, value] of Object.entries(truth)) {
      expect(Math.abs(sheet[key].value - value), key).toBeLessThan(sheet[key].ci95);
      expect(sheet[key].ci95, key).toBeLessThan(0.1 * value);
    }
    expect(sheet.poor).toBe(false);
    expect(sheet.warnings).toEqual([]);
    const { mean_residual_pct: cells } = sheet.residual_map;
    for (const cell of cells.flat()) expect(Math.abs(cell ?? 0)).toBeLessThan(5);
  });

  it('prints a block that a car file takes as it stands', async () => {
    const lines = spinledger(0, ENGINE).stdout.split('\n');
    const from = lines.findIndex((line) => line.startsWith('For the car file')) + 1;
    const block = JSON.parse(`{${lines.slice(from).join('\n')}}`);
    const car = JSON.parse(readFileSync(join(ROOT, 'examples/cars/estate.json'), 'utf8'));
    const path = join(temporaryFolder(), 'car.json');
    writeFileSync(path, JSON.stringify({ ...car, engine: { ...car.engine, ...block } }));
    const { engine } = (await loadCar(path)).value;
    expect(engine.fuelUse).toEqual({ form: 'affine', efficiency: block.fuel_use.efficiency });
    expectWithin(engine.frictionPressure0, block.friction.p0_bar * 1e5, 1e-12);
  });

  it('says where the affine form is poor, by its named limits', () => {
    const args = [
      'fit',
      'engine',
      join(ROOT, 'examples/cars/compact-engine.csv'),
      '--car',
      'compact',
    ];
    const text = spinledger(0, args).stdout.replace(/\s+/g, ' ');
    expect(text).toContain('3 % is the limit');
    expect(text).toContain('5625 1/min and 186 N m');
    const sheet = JSON.parse(spinledger(0, [...args, '--format', 'json']).stdout);
    expect(sheet.poor).toBe(true);
    expect(sheet.idle_fuel_L_per_h).toBeGreaterThan(0.2);
  });

  it('keeps to 80 columns', () => {
    for (const line of spinledger(0, ENGINE).stdout.split('\n')) {
      expect(line.length, line).toBeLessThanOrEqual(80);
    }
  });

  it.each([
    ['an engine that is not known', ['fit', 'engine', measured('engine.csv')], '--displacement L'],
    [
      'half of an engine',
      ['fit', 'engine', measured('engine.csv'), '--fuel', 'diesel'],
      '--displacement L',
    ],
    ['an engine twice', [...ENGINE, '--car', 'compact'], 'stand in the car file'],
    [
      'a wrong unit',
      [...ENGINE, '--columns', 'fuel=fuel_g_per_s:mg_per_s'],
      'units of speed, torque and fuel',
    ],
  ])('refuses %s', (_, args, message) => {
    const { stdout, stderr } = spinledger(2, args);
    expect(stdout).toBe('');
    expect(stderr).toContain(message);
  });
});

const DRIVE = ['fit', 'drive', measured('drive.csv'), '--strategy', 'assist-stop'];
const ON_CYCLE = [...DRIVE, '--cycle', 'udds[0..505]'];

describe('spinledger fit drive', () => {
  it('finds the lag of the log, and how it agrees', () => {
    const sheet = JSON.parse(spinledger(0, [...ON_CYCLE, '--format', 'json']).stdout);
    expect(sheet.shift.from).toBe('speed');
    expect(Math.abs(sheet.shift.shift_s - 4)).toBeLessThan(0.05);
    expect(sheet.rows_outside_drive).toBe(4);
    expect(sheet.engine).toMatchObject({ measured_starts: 5, matched_starts: 5 });
    // The log is of a car that is 5 % heavier.
    expect(sheet.figures.fuel_total_pct).toBeLessThan(-0.3);
    expect(sheet.channels.map(({ channel }: { channel: string }) => channel)).toEqual([
      'speed',
      'fuel',
      'rotor_speed',
    ]);
  });

  it('estimates what the log was made with, within its intervals', () => {
    const args = ['--estimate', 'car.mass_kg', '--estimate', 'store.losses.spin_torque_Nm'];
    const sheet = JSON.parse(spinledger(0, [...ON_CYCLE, ...args, '--format', 'json']).stdout);
    const [mass, torque] = sheet.estimates.parameters;
    expect(mass).toMatchObject({ path: 'car.mass_kg', in_file: 1700 });
    expect(Math.abs(mass.estimate.value - 1785)).toBeLessThan(mass.estimate.ci95);
    expect(mass.estimate.ci95).toBeLessThan(5);
    expect(Math.abs(torque.estimate.value - 4.6)).toBeLessThan(torque.estimate.ci95);
    expect(sheet.estimates.correlation[0][1]).toBeGreaterThan(0.5);
    const rms = (channels: { channel: string; rms: number }[]) =>
      channels.find(({ channel }) => channel === 'rotor_speed')!.rms;
    expect(rms(sheet.estimates.channels_afterwards)).toBeLessThan(0.1 * rms(sheet.channels));
  });

  it('drives the speed of the log where no cycle is named', () => {
    const { stdout, stderr } = spinledger(0, [...DRIVE, '--format', 'json']);
    const sheet = JSON.parse(stdout);
    expect(sheet.shift).toEqual({ shift_s: 0, from: 'log', correlation: null });
    expect(sheet.rows_outside_drive).toBe(0);
    expect(stderr).toContain('cleaned');
  });

  it('ends with status 3 where a limit does not hold, after all is written', () => {
    const held = ['--limit', 'fuel_total_pct=5', '--limit', 'starts_unmatched=0'];
    expect(spinledger(0, [...ON_CYCLE, ...held]).stdout).toContain('holds');
    const { stdout, stderr } = spinledger(3, [...ON_CYCLE, ...held, '--limit', 'rotor_rms_rpm=50']);
    expect(stdout).toContain('DOES NOT');
    expect(stderr).toContain('limit not held: rotor_rms_rpm is ');
    for (const line of stdout.split('\n')) expect(line.length, line).toBeLessThanOrEqual(80);
  });

  it('writes a row a row of the log', () => {
    const text = spinledger(0, [...ON_CYCLE, '--format', 'csv'])
      .stdout.trim()
      .split('\n');
    expect(text[0]).toMatch(/^time_s,drive_time_s,measured_speed_kmh,simulated_speed_kmh/);
    expect(text).toHaveLength(510);
    // The first rows lie before the drive: measured alone.
    expect(text[1]!.split(',')[3]).toBe('');
  });

  it.each([
    [
      'a lag at the edge of its window',
      [...ON_CYCLE, '--shift-window', '2'],
      'at the edge of the window',
    ],
    [
      'a lag beside the drive',
      [...ON_CYCLE, '--shift', '5000'],
      'no row within the simulated drive',
    ],
    [
      'an unknown figure',
      [...ON_CYCLE, '--limit', 'fuel_totl_pct=1'],
      'Did you mean fuel_total_pct?',
    ],
    [
      'a limit without a number',
      [...ON_CYCLE, '--limit', 'fuel_total_pct'],
      'with a number from 0 up',
    ],
    ['an unknown number', [...ON_CYCLE, '--estimate', 'car.mas_kg'], 'did you mean `car.mass_kg`?'],
    [
      'a number of a strategy',
      [...ON_CYCLE, '--estimate', 'strategy.recover.share_pct'],
      'car or the store',
    ],
    [
      'a unit that cannot be',
      [...ON_CYCLE, '--columns', 'fuel=fuel_g_per_s:kg_per_h', '--store', 'nowhere'],
      'nowhere',
    ],
    ['rotor speeds of another store', [...ON_CYCLE, '--store', 'large'], '1/min at most'],
  ])('refuses %s', (_, args, message) => {
    const { stdout, stderr } = spinledger(2, args);
    expect(stdout).toBe('');
    expect(stderr).toContain(message);
  });
});

describe('spinledger fit', () => {
  it('has a help with an example for each subcommand that runs as printed', () => {
    const names = ['coastdown', 'spindown', 'engine', 'drive'];
    const all = spinledger(0, ['fit', '--help']).stdout;
    for (const name of names) {
      expect(all).toContain(name);
      const help = spinledger(0, ['fit', name, '--help']).stdout;
      const example = /npx (spinledger fit .*)/.exec(help)![1]!;
      const { status, stderr } = shell(example);
      expect(status, stderr).toBe(0);
    }
  });
});
