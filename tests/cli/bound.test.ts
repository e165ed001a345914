import { once } from 'node:events';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { filesUnder, spinledger, temporaryFolder } from './program.ts';
import { start } from './studies.ts';

/** A short drive, so that a bound takes no time: half of a town cycle. */
const SHORT = ['--cycle', 'nycc[0..150]'];

describe('bound', () => {
  it('prints the least fuel beside the car without a store, cautions apart', () => {
    const { stdout, stderr } = spinledger(0, ['bound', ...SHORT]);
    expect(stdout).toMatch(/^estate with rim-45, on nycc/);
    expect(stdout).toMatch(/bound: least fuel with this store +\d+\.\d{3} +\d+\.\d{2}\n/);
    expect(stdout).toContain('ends at least as full as it began');
    expect(stdout).not.toContain('strategy');
    expect(stderr).toContain('Taken from the shipped example');
    expect(stderr).toContain('A fast rotor can burst');
    for (const line of stdout.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
  });

  it('holds a strategy against it, with the stretches that cost most', () => {
    const { stdout } = spinledger(0, ['bound', '--strategy', 'coast', ...SHORT]);
    expect(stdout).toMatch(/strategy above the bound, and in % of it +\d\.\d{3} +\d+\.\d{2}\n/);
    expect(stdout).toMatch(/\n {2}\d+–\d+ s, \d+ km\/h +\d+\.\d{2}\n {4}did: .+\n {4}bound: .+\n/);
    for (const line of stdout.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
  });

  it('has the keys of run in its JSON, and the bound beside them', () => {
    const args = ['--strategy', 'coast', ...SHORT, '--format', 'json'];
    const bound = JSON.parse(spinledger(0, ['bound', ...args]).stdout);
    const run = JSON.parse(spinledger(0, ['run', ...args]).stdout);
    const { bound: own, ...rest } = bound;
    const { bound_L_per_100km: litres, bound_co2_g_per_km: grams, ...fuel } = rest.fuel;
    expect({ ...rest, fuel }).toEqual(run);
    expect(litres).toBeLessThan(run.fuel.store_L_per_100km);
    expect(grams).toBeLessThan(run.fuel.store_co2_g_per_km);
    expect(own.gap_pct).toBeCloseTo(100 * (run.fuel.store_L_per_100km / litres - 1), 9);
    expect(own.refinement_pct).toBeGreaterThanOrEqual(0);
    expect(own.grid.passes).toBeGreaterThanOrEqual(2);
    expect(own.losses.length).toBeGreaterThan(0);
    expect(own.losses.length).toBeLessThanOrEqual(10);
    const told = own.losses.map((stretch: { lost_g: number }) => stretch.lost_g);
    expect(told).toEqual(told.toSorted((a: number, b: number) => b - a));
  });

  it('is the same document as that of run with --bound', () => {
    const args = ['--strategy', 'coast', ...SHORT, '--format', 'json'];
    const asked = spinledger(0, ['run', '--bound', ...args]).stdout;
    expect(asked).toBe(spinledger(0, ['bound', ...args]).stdout);
  });

  it('takes its own lap for that of the strategy where there is none', () => {
    const { stdout } = spinledger(0, ['bound', ...SHORT, '--format', 'json']);
    const { case: names, fuel, bound, saving, ledger } = JSON.parse(stdout);
    expect(names.strategy).toBe('bound');
    expect(fuel.store_L_per_100km).toBe(fuel.bound_L_per_100km);
    expect(bound.gap_pct).toBeNull();
    expect(bound.losses).toBeUndefined();
    expect(saving.vs_baseline_pct).toBe(bound.saving_vs_baseline_pct);
    expect(ledger.closure_relative).toBeLessThan(1e-9);
  });

  it('prints one row of CSV, and Markdown', () => {
    const args = ['bound', '--strategy', 'coast', ...SHORT, '--format'];
    const rows: string[][] = parse(spinledger(0, [...args, 'csv']).stdout);
    const [columns, row] = rows;
    expect(rows.length).toBe(2);
    for (const column of ['fuel_bound_L_per_100km', 'bound_gap_pct', 'bound_lost_g']) {
      expect(columns).toContain(column);
    }
    expect(row?.length).toBe(columns?.length);
    const markdown = spinledger(0, [...args, 'markdown']).stdout;
    expect(markdown).toMatch(/^## estate with rim-45, strategy coast/);
    expect(markdown).toContain('### Least fuel');
    expect(spinledger(0, [...args, 'none']).stdout).toBe('');
  });

  it('refuses what it cannot use', () => {
    expect(spinledger(2, ['bound', '--strategy', 'cost']).stderr).toContain('coast');
    expect(spinledger(2, ['bound', '--cycle', '20*nycc']).stderr).toContain('--resample 1');
    expect(spinledger(2, ['bound', '--out-decimal', ',']).stderr).toContain("'--format csv'");
    expect(spinledger(2, ['run', '--bound', '--format', 'none']).stderr).toContain("'--bound'");
  });
});

describe('run --bound', () => {
  it('puts the bound below the summary', () => {
    const args = ['--strategy', 'coast', ...SHORT];
    const plain = spinledger(0, ['run', ...args]).stdout;
    const bounded = spinledger(0, ['run', '--bound', ...args]).stdout;
    expect(bounded.startsWith(plain)).toBe(true);
    expect(bounded.slice(plain.length)).toMatch(/^\nLeast fuel/);
    const markdown = spinledger(0, ['run', '--bound', ...args, '--format', 'markdown']).stdout;
    expect(markdown).toContain('### Least fuel');
  });

  it.each([
    ['bound', 'SIGINT', 130],
    ['bound', 'SIGTERM', 143],
    ['run --bound', 'SIGINT', 130],
  ] as const)(
    'says one line and ends at once when it is interrupted: %s by %s',
    async (command, signal, status) => {
      const running = start([...command.split(' '), '--cycle', 'wltc-class3b']);
      // The inputs are told before the search begins, which takes seconds.
      await once(running.process.stderr!, 'data');
      running.process.kill(signal);
      const done = await running.end;
      expect(done.status).toBe(status);
      expect(done.stderr.trimEnd().split('\n').slice(1)).toEqual([
        'interrupted: no bound was found yet, and nothing is kept',
      ]);
    },
  );

  it('writes a log that it has begun to its end, whatever signal comes', async () => {
    const folder = temporaryFolder();
    const log = join(folder, 'log.csv');
    const running = start(['run', '--bound', ...SHORT, '--log', log, '--log-step', '0.001']);
    while (filesUnder(folder).length === 0 && running.process.exitCode === null) {
      await new Promise((resolve) => setTimeout(resolve, 2));
    }
    running.process.kill('SIGINT');
    expect(await running.end).toMatchObject({ status: 0, signal: null });
    expect(filesUnder(folder)).toEqual(['log.csv']);
  });

  it('ends with the status of an input that cannot be used, and of a plug-in that ends it', () => {
    expect(spinledger(2, ['bound', '--cycle', 'nope']).stderr).toContain('found no cycle');
    const folder = temporaryFolder();
    writeFileSync(
      join(folder, 'end.mjs'),
      'export default () => ({ decide: () => process.exit(0) });',
    );
    writeFileSync(
      join(folder, 'end.json'),
      JSON.stringify({ name: 'end', plugin: { module: './end.mjs' } }),
    );
    const { stderr, stdout } = spinledger(2, [
      'bound',
      '--strategy',
      join(folder, 'end.json'),
      ...SHORT,
    ]);
    expect(stderr).toContain('process.exit');
    expect(stdout).toBe('');
  });
});
