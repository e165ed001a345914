import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { CycleSheet } from '../../src/output/cycle-sheet.ts';
import type { Summary } from '../../src/summary/summary.ts';
import { expectWithin } from '../within.ts';
import { COMMUTE, HILL_ROAD, rowsIn, TOWN } from './cycle-tables.ts';
import { spinledger, temporaryFolder } from './program.ts';

function sheetOf(args: readonly string[], cwd?: string): CycleSheet {
  const surroundings = cwd === undefined ? {} : { cwd };
  const done = spinledger(0, ['cycle', 'show', ...args, '--format', 'json'], surroundings);
  return JSON.parse(done.stdout);
}

describe('cycle show', () => {
  it('agrees with a run on the same cycle, and with its braking energy', () => {
    const args = ['--car', 'estate', '--cycle', 'udds', '--format', 'json'];
    const run: Summary = JSON.parse(spinledger(0, ['run', ...args]).stdout);
    const sheet = sheetOf(['udds', '--car', 'estate']);
    for (const key of ['duration_s', 'distance_km', 'max_speed_kmh', 'mean_speed_kmh'] as const) {
      expect(sheet.cycle[key]).toBe(run.cycle[key]);
    }
    // The run splits each interval's work into four parts, which add up but for rounding.
    const { wheel } = run.references.baseline.ledger;
    expectWithin(sheet.car!.traction_kJ, wheel.traction_kJ, 1e-9);
    expectWithin(sheet.car!.braking_kJ, wheel.braking_kJ, 1e-9);
  });

  it('takes compositions and files as run does', () => {
    const one = sheetOf(['nycc']);
    const both = sheetOf([`2*nycc + '${TOWN}'[0..100]`]);
    const cut = sheetOf([`'${TOWN}'[0..100]`]);
    expectWithin(both.cycle.distance_km, 2 * one.cycle.distance_km + cut.cycle.distance_km, 1e-12);
    expect(both.stops.count).toBe(2 * one.stops.count + cut.stops.count);
  });

  it('shows a file in the plain form as it stands, and says what it did to a log', () => {
    expect(spinledger(0, ['cycle', 'show', TOWN]).stderr).toBe('');
    const { stdout, stderr } = spinledger(0, ['cycle', 'show', ...COMMUTE]);
    expect(stderr).toMatch(/commute\.csv cleaned: 3 rows of doubled time stamps.*; distance -/);
    expect(stderr.trimEnd().split('\n')).toHaveLength(1);
    expect(stdout).toContain('altitude above the lowest point, m');
  });

  it('takes a GPX track', () => {
    const { cycle, climbing } = sheetOf([HILL_ROAD]);
    expect(cycle.name).toBe('hill-road');
    expect(cycle.duration_s).toBe(392);
    expect(climbing.up_m_per_100km).toBeGreaterThan(1000);
  });

  it('answers for one size of store where one is named', () => {
    const size = ['--store-energy', '200', '--store-power', '60'];
    const one = sheetOf(['udds', '--car', 'van', ...size]).ideal_stores;
    const all = sheetOf(['udds', '--car', 'van']).ideal_stores;
    expect(one).toHaveLength(1);
    expect(all.filter((store) => store.energy_kJ === 200 && store.power_kW === 60)).toEqual(one);
    const { stdout } = spinledger(0, ['cycle', 'show', 'udds', '--car', 'van', ...size]);
    expect(stdout).toContain('An ideal store of 200 kJ and 60 kW');
  });

  it('prints CSV of one row, and Markdown', () => {
    const rows = rowsIn(spinledger(0, ['cycle', 'show', 'udds', '--format', 'csv']).stdout);
    expect(rows).toHaveLength(1);
    expect(rows).toMatchObject([{ cycle_name: 'udds', cycle_duration_s: '1369' }]);
    const { stdout } = spinledger(0, ['cycle', 'show', 'udds', '--format', 'markdown']);
    expect(stdout).toMatch(/^## udds\n\n/);
    expect(stdout).toContain('### Real-driving rules, at 1 Hz');
  });

  it('gives the same bytes each time', () => {
    const args = ['cycle', 'show', ...COMMUTE, '--car', 'bus', '--format', 'json'];
    expect(spinledger(0, args).stdout).toBe(spinledger(0, args).stdout);
  });

  it('names what it does not know', () => {
    const { stderr } = spinledger(2, ['cycle', 'show', 'utds']);
    expect(stderr).toContain('did you mean `udds`?');
    const other = spinledger(2, ['cycle', 'show', 'udds', '--car', 'estat']);
    expect(other.stderr).toContain('did you mean `estate`?');
  });

  it('hints at cleaning where a file in the plain form has faults', () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, 'log.csv'), 'time_s,speed_kmh\n0,0\n1,9\n1,9\n2,18\n3,0\n');
    const { stdout, stderr } = spinledger(2, ['cycle', 'show', 'log.csv'], { cwd: folder });
    expect(stdout).toBe('');
    expect(stderr).toMatch(/^log\.csv:4: time_s: found 1, /);
    expect(stderr).toContain('spinledger cycle convert');
    expect(sheetOf(['log.csv', '--clean'], folder).cycle.duration_s).toBe(3);
  });

  it('says of a flag that it would change nothing', () => {
    const { stderr } = spinledger(2, ['cycle', 'show', 'udds', '--bridge', '5']);
    expect(stderr).toMatch(/^--bridge: found no drive but built-in cycles/);
  });
});
