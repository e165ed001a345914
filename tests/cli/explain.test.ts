import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import type { Summary } from '../../src/summary/summary.ts';
import { spinledger } from './program.ts';

const CASE = ['run', '--car', 'estate', '--store', 'rim-45', '--cycle', 'nycc', '--strategy'];

function explained(strategy: string): Summary {
  const args = [...CASE, strategy, '--explain', '--format', 'json'];
  return JSON.parse(spinledger(0, args).stdout);
}

describe('run --explain', () => {
  it('adds the saving in steps to the JSON and changes nothing else in it', () => {
    const { waterfall, ...rest } = explained('coast');
    const plain = JSON.parse(spinledger(0, [...CASE, 'coast', '--format', 'json']).stdout);
    expect(rest).toEqual(plain);
    expect(waterfall?.map(({ step }) => step)).toEqual([
      'stop_start',
      'store_mass',
      'recovery',
      'launch_assist',
      'acceleration_assist',
      'coast',
    ]);
    const sum = waterfall?.reduce((total, { saving_pct }) => total + (saving_pct ?? 0), 0);
    expect(sum).toBeCloseTo(rest.saving.vs_baseline_pct ?? Number.NaN, 10);
  });

  it('takes a plug-in for one step', () => {
    const { waterfall, fuel } = explained('plugin');
    expect(waterfall?.map(({ step }) => step)).toEqual(['store_mass', 'strategy']);
    expect(waterfall?.[1]?.fuel_L_per_100km).toBe(fuel.store_L_per_100km);
  });

  it('gives strategies of different parts the same columns of CSV', () => {
    const rows = ['recover', 'plugin'].map((strategy) => {
      const { stdout } = spinledger(0, [...CASE, strategy, '--explain', '--format', 'csv']);
      return (
        parse(stdout, { columns: true }) as Record<
          'waterfall_recovery_pct' | 'waterfall_strategy_pct',
          string
        >[]
      )[0]!;
    });
    expect(Object.keys(rows[0]!)).toEqual(Object.keys(rows[1]!));
    expect(rows.map((row) => row.waterfall_recovery_pct)).toEqual(['0', '']);
    expect(Number(rows[1]?.waterfall_strategy_pct)).toBeGreaterThan(0);
  });

  it('draws the steps on a terminal of 80 columns, without colour in a pipe', () => {
    const { stdout } = spinledger(0, [...CASE, 'duty-cycle', '--explain']);
    expect(stdout).toMatch(
      /\nSaving in steps +L\/100 km +saving % +lost without %\n {2}car as it is /,
    );
    expect(stdout).toMatch(/\n {2}reserve from engine +\d+\.\d{3} +\d+\.\d\d +\d+\.\d\d +\|\++\n/);
    expect(Math.max(...stdout.split('\n').map((line) => line.length))).toBeLessThanOrEqual(80);
    expect(stdout).not.toContain('\u001b');
  });

  it('stands in Markdown', () => {
    const { stdout } = spinledger(0, [...CASE, 'recover', '--explain', '--format', 'markdown']);
    expect(stdout).toContain('### Saving in steps');
  });

  it('says that it adds nothing to no summary', () => {
    const { stdout, stderr } = spinledger(2, [...CASE, 'coast', '--explain', '--format', 'none']);
    expect(stdout).toBe('');
    expect(stderr).toContain("'--format none' leaves out");
  });
});
