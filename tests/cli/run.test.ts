import { cpSync, lstatSync, readFileSync, statSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import type { Summary } from '../../src/summary/summary.ts';
import { filesUnder, ROOT, spinledger, temporaryFolder } from './program.ts';

const EXAMPLE = ['--car', 'estate', '--store', 'rim-45', '--strategy', 'coast'];
const FIXED_COLUMNS =
  'time_s,speed_kmh,wheel_power_kW,engine_power_kW,engine_speed_rpm,gear,engine_on,fuel_g_per_s,store_power_kW,store_energy_kJ,rotor_speed_rpm,brake_power_kW,limit';

function summaryOf(args: readonly string[]): Summary {
  return JSON.parse(spinledger(0, ['run', ...args, '--format', 'json']).stdout);
}

describe('run without arguments', () => {
  const { stdout, stderr } = spinledger(0, ['run']);

  it('shows a result on one screen', () => {
    const lines = stdout.trimEnd().split('\n');
    expect(lines.length).toBeLessThanOrEqual(60);
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(80);
    expect(stdout).toMatch(/^estate with rim-45, strategy coast, on wltc-class3b\n/);
    expect(stdout).toMatch(/Saving +\d+\.\d\d % against the car as it is/);
  });

  it('says on standard error which example that was, and cautions', () => {
    const [first, ...cautions] = stderr.trimEnd().split('\n');
    expect(first).toBe(
      'Taken from the shipped example, an invented scenario: car estate, store rim-45, strategy coast, cycle wltc-class3b.',
    );
    expect(cautions.join(' ')).toMatch(/no certified consumption.*rotor can burst.*brake balance/);
    expect(cautions.length).toBeLessThanOrEqual(2);
  });
});

describe('run --format json', () => {
  const summary = summaryOf([...EXAMPLE, '--cycle', 'udds']);

  it('has the keys that scripts read, and plain numbers under them', () => {
    expect(summary.schema_version).toBe(1);
    expect(summary.tool).toMatch(/^spinledger \d+\.\d+\.\d+$/);
    expect(summary.case).toEqual({
      car: 'estate',
      store: 'rim-45',
      strategy: 'coast',
      cycle: 'udds',
      hash: expect.stringMatching(/^[0-9a-f]{16}$/),
    });
    const numbers = {
      cycle: ['duration_s', 'distance_km', 'max_speed_kmh', 'mean_speed_kmh'],
      fuel: [
        'baseline_L_per_100km',
        'stop_start_L_per_100km',
        'store_L_per_100km',
        'baseline_co2_g_per_km',
        'stop_start_co2_g_per_km',
        'store_co2_g_per_km',
      ],
      saving: ['vs_baseline_pct', 'vs_stop_start_pct'],
      missed_recovery_kJ: ['engine_drag', 'brake_share', 'full', 'strategy'],
      shortfall: ['energy_kJ', 'seconds', 'pct_of_tractive'],
      counts: ['engine_starts', 'engine_on_s'],
    };
    for (const [group, keys] of Object.entries(numbers)) {
      const values = summary[group as 'fuel'] as unknown as Record<string, unknown>;
      for (const key of keys) expect(values[key], `${group}.${key}`).toBeTypeOf('number');
    }
    expect(summary.saving.balance.method).toBe('repetition');
    expect(summary.saving.balance.laps).toBeGreaterThan(0);
    expect(Math.abs(summary.saving.balance.residual_pct_of_fuel_energy ?? 1)).toBeLessThan(0.1);
    for (const node of ['fuel', 'wheel', 'store'] as const) {
      const keys = Object.keys(summary.ledger[node]);
      expect(keys.length).toBeGreaterThan(5);
      expect(keys.filter((key) => !key.endsWith('_kJ'))).toEqual([]);
    }
    expect(summary.ledger.closure_relative).toBeLessThan(1e-9);
    expect(summary.warnings).toBeInstanceOf(Array);
  });

  it('keeps standard error for what is no result', () => {
    const named = spinledger(0, ['run', ...EXAMPLE, '--cycle', 'nycc', '--format', 'json']);
    expect(named.stderr).toBe('');
    expect(() => JSON.parse(named.stdout)).not.toThrow();
  });

  it('gives the same bytes each time', () => {
    const args = ['run', ...EXAMPLE, '--cycle', 'nycc', '--format', 'json'];
    expect(spinledger(0, args).stdout).toBe(spinledger(0, args).stdout);
  });

  it('knows a case by its content, not by the place of its files', () => {
    const folder = temporaryFolder();
    cpSync(join(ROOT, 'examples'), folder, { recursive: true });
    const args = ['run', '--cycle', 'udds', '--format', 'json'];
    const elsewhere = spinledger(
      0,
      [
        ...args,
        ...['--car', 'cars/estate.json', '--store', join(folder, 'stores/rim-45.json')],
        ...['--strategy', 'strategies/coast.json'],
      ],
      { cwd: folder },
    );
    expect(JSON.parse(elsewhere.stdout)).toEqual(summary);
    const heavier = JSON.parse(readFileSync(join(folder, 'cars/estate.json'), 'utf8'));
    heavier.mass_kg += 1;
    writeFileSync(join(folder, 'heavier.json'), JSON.stringify(heavier));
    const other = spinledger(0, [...args, '--car', 'heavier.json'], { cwd: folder });
    expect(JSON.parse(other.stdout).case.hash).not.toBe(summary.case.hash);
  });
});

describe('the other formats', () => {
  const args = ['run', ...EXAMPLE, '--cycle', 'nycc', '--format'];

  it('of CSV are a header and a row that hold the figures of the JSON', () => {
    const rows = parse(spinledger(0, [...args, 'csv']).stdout, { columns: true });
    const summary = summaryOf([...EXAMPLE, '--cycle', 'nycc']);
    expect(rows).toHaveLength(1);
    const [row] = rows as Record<'fuel_store_L_per_100km' | 'case_hash', string>[];
    expect(row?.fuel_store_L_per_100km).toBe(String(summary.fuel.store_L_per_100km));
    expect(row?.case_hash).toBe(summary.case.hash);
  });

  it('of Markdown are tables', () => {
    const { stdout } = spinledger(0, [...args, 'markdown']);
    expect(stdout).toMatch(/^## estate · rim-45 · coast · nycc\n/);
    expect(stdout).toContain('| with stop-start |');
  });

  it('of none are nothing', () => {
    expect(spinledger(0, [...args, 'none'])).toEqual({ status: 0, stdout: '', stderr: '' });
  });
});

describe('run --log', () => {
  it('writes a row for each interval of the cycle, and nothing else', () => {
    const folder = temporaryFolder();
    const args = ['run', ...EXAMPLE, '--cycle', 'nycc', '--format', 'none', '--log', 'log.csv'];
    spinledger(0, args, { cwd: folder });
    expect(filesUnder(folder)).toEqual(['log.csv']);
    const text = readFileSync(join(folder, 'log.csv'), 'utf8');
    expect(text.startsWith(`${FIXED_COLUMNS},`)).toBe(true);
    const rows = parse(text, { columns: true }) as Record<string, string>[];
    expect(rows).toHaveLength(598);
    spinledger(0, args, { cwd: folder });
    expect(readFileSync(join(folder, 'log.csv'), 'utf8')).toBe(text);
  });

  it('writes the same to standard output as to a file', () => {
    const folder = temporaryFolder();
    const args = ['run', ...EXAMPLE, '--cycle', 'nycc', '--format', 'none', '--log'];
    const { stdout, stderr } = spinledger(0, [...args, '-']);
    spinledger(0, [...args, 'log.csv'], { cwd: folder });
    expect(stdout).toBe(readFileSync(join(folder, 'log.csv'), 'utf8'));
    expect(stderr).toBe('');
  });

  it('adds up to the fuel of the summary, in rows of any length', () => {
    const summary = summaryOf([...EXAMPLE, '--cycle', 'nycc']);
    for (const step of [[], ['--log-step', '10'], ['--log-step', '0.25']]) {
      const args = ['run', ...EXAMPLE, '--cycle', 'nycc', '--format', 'none', '--log', '-'];
      const rows = parse(spinledger(0, [...args, ...step]).stdout, { columns: true });
      const grams = (rows as Record<'fuel_g_per_s' | 'duration_s', string>[]).reduce(
        (sum, row) => sum + Number(row.fuel_g_per_s) * Number(row.duration_s),
        0,
      );
      const energy = grams * 42.7;
      const burned = summary.ledger.fuel.burned_kJ;
      // A few thousand roundings of 1e-16.
      expect(Math.abs(energy - burned)).toBeLessThan(1e-12 * burned);
    }
  });

  it('writes one row each so many seconds', () => {
    const args = ['run', ...EXAMPLE, '--cycle', 'nycc', '--format', 'none', '--log', '-'];
    const { stdout } = spinledger(0, [...args, '--log-step', '60']);
    const times = stdout
      .trimEnd()
      .split('\n')
      .slice(1)
      .map((line) => Number(line.split(',')[0]));
    expect(times).toEqual([0, 60, 120, 180, 240, 300, 360, 420, 480, 540]);
  });

  it('takes the place of an older log, through a link too, and keeps its permissions', () => {
    const folder = temporaryFolder();
    const args = ['run', ...EXAMPLE, '--cycle', 'nycc', '--format', 'none', '--log'];
    writeFileSync(join(folder, 'old.csv'), 'old', { mode: 0o640 });
    symlinkSync('old.csv', join(folder, 'link.csv'));
    spinledger(0, [...args, 'link.csv'], { cwd: folder });
    expect(readFileSync(join(folder, 'old.csv'), 'utf8')).toContain('time_s');
    expect(lstatSync(join(folder, 'link.csv')).isSymbolicLink()).toBe(true);
    expect(statSync(join(folder, 'old.csv')).mode & 0o777).toBe(0o640);
    expect(filesUnder(folder)).toEqual(['link.csv', 'old.csv']);
  });
});

describe('run --tolerance', () => {
  // The bus cannot keep up with the hardest pulls of this cycle.
  const args = ['run', '--car', 'bus', '--store', 'large', '--cycle', 'hd-udds'];

  it('ends with status 4 above it, with all results written', () => {
    const { stdout, stderr } = spinledger(4, [...args, '--tolerance', '0', '--format', 'json']);
    const { shortfall, warnings } = JSON.parse(stdout) as Summary;
    expect(shortfall.pct_of_tractive).toBeGreaterThan(0);
    expect(warnings.join()).toContain('cannot follow the cycle');
    expect(stderr).toMatch(/the trace was not followed: .* kJ, .* % .*--tolerance is 0 %\n$/);
  });

  it('holds the car without the store to it as well', () => {
    const strong = ['--strategy', 'assist-stop', '--cycle', 'us06'];
    const { stdout, stderr } = spinledger(4, [
      ...args.slice(0, 5),
      ...strong,
      '--tolerance',
      '0',
      '--format',
      'json',
    ]);
    const { references } = JSON.parse(stdout) as Summary;
    expect(references.baseline.shortfall.pct_of_tractive).toBeGreaterThan(0);
    expect(stderr).toContain('of the car as it is');
  });

  it('ends with status 0 below it', () => {
    const { stderr } = spinledger(0, [...args, '--tolerance', '50', '--format', 'none']);
    expect(stderr).not.toContain('not followed');
  });
});

describe('names of shipped examples', () => {
  it('serve for cars, stores and strategies', () => {
    const summary = summaryOf([
      ...['--car', 'van', '--store', 'ideal', '--strategy', 'keep-off', '--cycle', 'nycc'],
    ]);
    expect([summary.case.car, summary.case.store, summary.case.strategy]).toEqual([
      'van',
      'ideal',
      'keep-off',
    ]);
  });

  it('give way to a file of the same name', () => {
    const folder = temporaryFolder();
    const car = JSON.parse(readFileSync(join(ROOT, 'examples/cars/estate.json'), 'utf8'));
    writeFileSync(join(folder, 'van'), JSON.stringify({ ...car, name: 'my own van' }));
    const { stdout } = spinledger(0, ['run', '--car', 'van', '--format', 'json'], { cwd: folder });
    expect(JSON.parse(stdout).case.car).toBe('my own van');
  });
});
