/** Studies whose cases are held against the least fuel that any strategy could reach. */
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { spinledger, temporaryFolder } from './program.ts';
import { recordsIn, resultsIn, writeStudy } from './studies.ts';

const POWER = 'store.power_limit_kW';
const BOUNDED = {
  strategies: ['coast', 'recover'],
  cycles: ['nycc[0..100]'],
  vary: [{ path: POWER, list: [5, 10, 20, 40] }],
  outputs: { bound: true },
};

describe('a study with bounds', () => {
  it('has the figures that a run has, the same for every strategy and for any number of jobs', () => {
    const folder = temporaryFolder();
    const study = writeStudy(folder, BOUNDED);
    const out = join(folder, 'one');
    const print = ['--format', 'markdown'];
    const { stdout } = spinledger(0, ['study', study, '--out', out, '--jobs', '1', ...print]);
    spinledger(0, ['study', study, '--out', join(folder, 'two'), '--jobs', '2', ...print]);
    expect(resultsIn(join(folder, 'two'))).toEqual(resultsIn(out));

    const records = recordsIn(out);
    const least = records.map(({ fuel }) => fuel.bound_L_per_100km);
    expect(least.slice(0, 4)).toEqual(least.slice(4));
    expect(new Set(least).size).toBeGreaterThan(2);
    for (const { fuel, bound } of records) {
      const gap = 100 * (fuel.store_L_per_100km / fuel.bound_L_per_100km - 1);
      expect(bound.gap_pct).toBeCloseTo(gap, 9);
    }
    expect(stdout).toContain('| stop-st. | bound | gap |');
    // Both strategies share the sentence of the bound.
    expect(stdout.match(/any strategy at its best:/g)).toHaveLength(1);

    const args = ['--car', 'estate', '--store', 'rim-45', '--strategy', 'coast'];
    const cycle = ['--cycle', 'nycc[0..100]', '--bound', '--format', 'json'];
    const own = { ...BOUNDED, strategies: ['coast'], vary: [] };
    spinledger(0, ['study', writeStudy(folder, own), '--out', join(folder, 'own'), ...print]);
    const run = JSON.parse(spinledger(0, ['run', ...args, ...cycle]).stdout);
    const [record] = recordsIn(join(folder, 'own'));
    expect(record.fuel).toEqual(run.fuel);
    expect(run.bound).toMatchObject(record.bound);
  });

  it('runs a case again whose bound is wanted now and is not there, or no longer is', () => {
    const folder = temporaryFolder();
    const out = join(folder, 'out');
    const few = { cycles: ['nycc[0..100]'] };
    const study = (bound: boolean) => {
      const path = writeStudy(folder, { ...few, outputs: { bound } });
      const { stderr } = spinledger(0, ['study', path, '--out', out, '--format', 'none']);
      const [record] = recordsIn(out);
      return { stderr, hasBound: record.bound !== undefined, files: resultsIn(out) };
    };
    const before = study(false);
    expect(before.hasBound).toBe(false);
    const bounded = study(true);
    expect(bounded.hasBound).toBe(true);
    expect(bounded.stderr).not.toContain('finished before');
    expect(study(true).stderr).toContain('0 of 1 case are left to run');
    expect(study(false).files).toEqual(before.files);
  });

  it('says so before it runs', () => {
    const path = writeStudy(temporaryFolder(), BOUNDED);
    const { stdout } = spinledger(0, ['study', path, '--dry-run']);
    expect(stdout).toContain('with the bound of every case');
  });
});
