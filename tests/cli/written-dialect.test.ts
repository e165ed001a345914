import { copyFileSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { HILL_ROAD, TOWN } from './cycle-tables.ts';
import { ROOT, spinledger, temporaryFolder } from './program.ts';

/** A table as a reader of its dialect sees it, with points in its numbers. */
function table(text: string, delimiter: string, decimal: string): string[][] {
  const rows = parse(text, { delimiter }) as string[][];
  const isNumber = (cell: string) => /^-?\d+[.,]\d+(?:e[+-]\d+)?$/.test(cell);
  return rows.map((row) => row.map((cell) => (isNumber(cell) ? cell.replace(decimal, '.') : cell)));
}

describe('tables of commands', () => {
  it.each([
    ['cycle list', ['cycle', 'list', '--format', 'csv'], '--'],
    ['cycle show', ['cycle', 'show', 'udds', '--format', 'csv'], '--out-'],
    [
      'cycle check --changes',
      ['cycle', 'check', HILL_ROAD, '--changes', '-', '--format', 'none'],
      '--out-',
    ],
    ['sprint', ['sprint', '--format', 'csv'], '--'],
    ['sprint --trace', ['sprint', '--trace', '-', '--format', 'none'], '--'],
  ])('%s says the same with decimal commas', (_, args, prefix) => {
    const plain = spinledger(0, args).stdout;
    const commas = spinledger(0, [...args, `${prefix}decimal`, ',']).stdout;
    const rows = table(commas, ';', ',');
    expect(rows.length).toBeGreaterThan(1);
    expect(rows.flat().some((cell) => /\d\.\d/.test(cell))).toBe(true);
    expect(rows).toEqual(table(plain, ',', '.'));
  });

  it('cycle split writes its table in a dialect and its pieces in the plain form', () => {
    const cwd = temporaryFolder();
    const args = ['cycle', 'split', TOWN, '--format', 'csv', '--out'];
    const plain = spinledger(0, [...args, 'plain'], { cwd }).stdout;
    const commas = spinledger(0, [...args, 'commas', '--out-decimal', ','], { cwd }).stdout;
    expect(table(commas, ';', ',')).toEqual(table(plain, ',', '.'));
    const piece = (folder: string) => readFileSync(join(cwd, folder, 'town-hills-01.csv'), 'utf8');
    expect(piece('commas')).toBe(piece('plain'));
  });

  it.each([
    [['cycle', 'list', '--decimal', ','], "add '--format csv'"],
    [['cycle', 'show', 'udds', '--out-decimal', ','], "add '--format csv'"],
    [['cycle', 'split', 'udds', '--out', 'x', '--out-delimiter', ';'], "add '--format csv'"],
    [['cycle', 'check', HILL_ROAD, '--out-decimal', ','], "add '--changes FILE'"],
    [['sprint', '--decimal', ','], "add '--format csv' or '--trace FILE'"],
    [['cycle', 'show', 'udds', '--format', 'csv', '--decimal', ','], '`--out-decimal`'],
  ])('%j is refused, since no table is written or read so', (args, cure) => {
    expect(spinledger(2, args).stderr).toContain(cure);
  });
});

describe('a name that begins as a formula does', () => {
  it('is told of wherever a table with it is written', () => {
    const cwd = temporaryFolder();
    const car = JSON.parse(readFileSync(join(ROOT, 'examples/cars/estate.json'), 'utf8'));
    writeFileSync(join(cwd, 'car.json'), JSON.stringify({ ...car, name: '=1+1' }));
    copyFileSync(TOWN, join(cwd, '+town.csv'));
    const parts = ['--car', 'car.json', '--store', 'rim-45'];
    const run = ['run', ...parts, '--strategy', 'coast', '--cycle', 'nycc', '--format', 'json'];
    writeFileSync(join(cwd, 'run.json'), spinledger(0, run, { cwd }).stdout);
    for (const [name, args] of [
      ['=1+1', ['compare', 'run.json', 'run.json']],
      ['=1+1', ['sprint', ...parts]],
      ['=1+1', ['rotor', ...parts]],
      ['+town', ['cycle', 'show', '+town.csv']],
      ['+town-01.csv', ['cycle', 'split', '+town.csv', '--out', 'pieces']],
    ] as const) {
      const { stdout, stderr } = spinledger(0, [...args, '--format', 'csv'], { cwd });
      expect(stdout).toContain(name);
      expect(stderr, args[0]).toContain(`The name ${name} begins as a formula does`);
    }
  });
});
