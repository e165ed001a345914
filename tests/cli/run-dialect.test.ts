import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { COMMUTE } from './cycle-tables.ts';
import { filesUnder, ROOT, shell, spinledger, temporaryFolder } from './program.ts';

const PARTS = ['run', '--car', 'estate', '--store', 'rim-45', '--strategy', 'coast'];
const NYCC = [...PARTS, '--cycle', 'nycc'];

/** A table as a reader of its dialect sees it, with points in its numbers. */
function table(text: string, delimiter: string, decimal: string): string[][] {
  const rows = parse(text, { delimiter }) as string[][];
  const isNumber = (cell: string) => /^-?\d+[.,]\d+(?:e[+-]\d+)?$/.test(cell);
  return rows.map((row) => row.map((cell) => (isNumber(cell) ? cell.replace(decimal, '.') : cell)));
}

describe('CSV of a run', () => {
  const plain = spinledger(0, [...NYCC, '--format', 'csv']).stdout;

  it('has commas and decimal points unless it is asked for otherwise', () => {
    const [header, row] = table(plain, ',', '.');
    expect(header?.slice(0, 3)).toEqual(['schema_version', 'tool', 'case_car']);
    expect(row?.slice(2, 6)).toEqual(['estate', 'rim-45', 'coast', 'nycc']);
  });

  it.each([
    [['--out-decimal', ','], ';', ','],
    [['--out-delimiter', ';'], ';', '.'],
    [['--out-delimiter', 'tab', '--out-decimal', ','], '\t', ','],
  ])('says the same with %j', (flags, delimiter, decimal) => {
    const { stdout } = spinledger(0, [...NYCC, '--format', 'csv', ...flags]);
    expect(stdout).not.toBe(plain);
    expect(table(stdout, delimiter, decimal)).toEqual(table(plain, ',', '.'));
  });

  it('is not written as its drive is read', () => {
    const [file, ...reading] = COMMUTE;
    const run = [...PARTS, '--tolerance', '100', '--cycle', file, ...reading, '--format', 'csv'];
    const points = spinledger(0, run).stdout;
    expect(points).toMatch(/^schema_version,tool,/);
    const commas = spinledger(0, [...run, '--out-decimal', ',']).stdout;
    expect(commas).toMatch(/^schema_version;tool;/);
    expect(table(commas, ';', ',')).toEqual(table(points, ',', '.'));
  });

  it('is of the same case, whatever it looks like', () => {
    const town = [...PARTS, '--tolerance', '100', '--cycle', 'examples/cycles/town-hills.csv'];
    const hash = (flags: readonly string[], delimiter: string) => {
      const { stdout } = spinledger(0, [...town, '--format', 'csv', ...flags]);
      const [header, row] = table(stdout, delimiter, '.');
      return row?.[header?.indexOf('case_hash') ?? -1];
    };
    expect(hash([], ',')).toMatch(/^[0-9a-f]{16}$/);
    expect(hash(['--out-decimal', ','], ';')).toBe(hash([], ','));
  });

  it('keeps a name that begins as a formula does, and tells of it', () => {
    const folder = temporaryFolder();
    const car = JSON.parse(readFileSync(join(ROOT, 'examples/cars/estate.json'), 'utf8'));
    writeFileSync(join(folder, 'car.json'), JSON.stringify({ ...car, name: '=1+1;"x"' }));
    const args = ['run', '--car', 'car.json', '--store', 'rim-45', '--strategy', 'coast'];
    const { stdout, stderr } = spinledger(
      0,
      [...args, '--cycle', 'nycc', '--format', 'csv', '--out-delimiter', ';'],
      { cwd: folder },
    );
    expect(table(stdout, ';', '.')[1]?.[2]).toBe('=1+1;"x"');
    expect(stderr).toContain('The name =1+1;"x" begins as a formula does');
  });
});

describe('the log of a run', () => {
  it('is written in the dialect that is asked for, and can be read again with the same signs', () => {
    const folder = temporaryFolder();
    const log = [...NYCC, '--format', 'none', '--log'];
    spinledger(0, [...log, 'plain.csv'], { cwd: folder });
    spinledger(0, [...log, 'commas.csv', '--out-decimal', ','], { cwd: folder });
    const text = (name: string) => readFileSync(join(folder, name), 'utf8');
    expect(table(text('commas.csv'), ';', ',')).toEqual(table(text('plain.csv'), ',', '.'));
    const show = (args: readonly string[]) =>
      JSON.parse(
        spinledger(0, ['cycle', 'show', ...args, '--format', 'json'], { cwd: folder }).stdout,
      );
    const again = show(['commas.csv', '--delimiter', ';', '--decimal', ',']);
    expect(again.cycle.distance_km).toBe(show(['plain.csv']).cycle.distance_km);
  });

  it('goes to standard output in that dialect as well', () => {
    const { status, stdout } = shell(
      `spinledger ${NYCC.join(' ')} --format none --log - --out-decimal , | head -2`,
    );
    expect(status).toBe(0);
    expect(stdout).toMatch(/^time_s;speed_kmh;.*\n0;0;0;0,\d+;/);
  });
});

describe('wishes about CSV that cannot be met', () => {
  it.each([
    [
      ['--format', 'csv', '--out-delimiter', ',', '--out-decimal', ','],
      "--out-decimal: found a comma both between cells and within numbers, expected two different characters\n  hint: use `--out-delimiter ';'`",
    ],
    [['--out-decimal', ','], "'--out-decimal' is about CSV, and none is written"],
    [['--format', 'json', '--out-delimiter', 'tab'], "add '--format csv' or '--log FILE'"],
    [['--format', 'csv', '--out-delimiter', '|'], "Expected ',' or ';' or tab."],
    [['--format', 'csv', '--out-decimal', ';'], "Expected '.' or ','."],
    [
      ['--format', 'csv', '--delimiter', ';'],
      'leave `--delimiter` out; for tables that are written there is `--out-delimiter`',
    ],
    [['--format', 'csv', '--decimal', ','], 'there is `--out-decimal`'],
  ])('%j are refused before anything runs', (flags, told) => {
    const folder = temporaryFolder();
    const { stdout, stderr } = spinledger(2, [...NYCC, ...flags], { cwd: folder });
    expect(stderr).toContain(told);
    expect(stdout).toBe('');
    expect(filesUnder(folder)).toEqual([]);
  });
});
