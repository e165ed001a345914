import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { type GridForm, readGrid } from '../../src/config/grid-file.ts';
import { problemsOf } from '../cycle/problems.ts';
import { folderWith } from './drafts.ts';

const FORM: GridForm = {
  what: 'a test table',
  x: { header: 'x_m', min: 0, max: 10, why: 'a test' },
  y: { header: 'y_m', min: 0, max: 10, why: 'a test' },
  z: [
    { header: 'z_kg', min: 0, max: 100, why: 'a test' },
    { header: 'z_g', min: 0, max: 100_000, why: 'a test' },
  ],
};

function read(text: string) {
  return readGrid(join(folderWith({ 'table.csv': text }), 'table.csv'), FORM);
}

function problems(text: string) {
  return problemsOf(() => read(text));
}

describe('readGrid', () => {
  it('takes rows and columns in any order', () => {
    expect(read('z_g,y_m,x_m\n4,3,2\n1,1,0\n3,1,2\n2,3,0\n')).toEqual({
      x: [0, 2],
      y: [1, 3],
      z: [1, 2, 3, 4],
      zHeader: 'z_g',
    });
  });

  it('names every missing point', () => {
    const found = problems('x_m,y_m,z_kg\n0,0,1\n1,1,1\n');
    expect(found.map(({ code, path }) => [code, path])).toEqual([
      ['missing-point', 'x_m 0, y_m 1'],
      ['missing-point', 'x_m 1, y_m 0'],
    ]);
  });

  it('names a point that stands twice, with both lines', () => {
    const found = problems('x_m,y_m,z_kg\n0,0,1\n0,1,1\n1,0,1\n1,1,1\n0,1.0,2\n');
    expect(found).toMatchObject([{ code: 'duplicate-point', line: 6, found: '0,1' }]);
    expect(found[0]?.expected).toContain('line 3');
  });

  it.each([
    ['', 'not-a-number'],
    ['NaN', 'not-a-number'],
    ['1e3x', 'not-a-number'],
    ['-1', 'out-of-range'],
    ['101', 'out-of-range'],
  ])('refuses the cell %j, with line and column', (cell, code) => {
    const found = problems(`x_m,y_m,z_kg\n0,0,1\n0,1,${cell}\n1,0,1\n1,1,1\n`);
    expect(found).toHaveLength(1);
    expect(found[0]).toMatchObject({ code, line: 3, path: 'z_kg', found: cell });
    expect(found[0]?.file).toMatch(/table\.csv$/);
  });

  it('refuses a row with a cell too many, as a decimal comma makes it', () => {
    const found = problems('x_m,y_m,z_kg\n0,0,1\n0,1,1,5\n1,0,1\n1,1,1\n');
    expect(found).toMatchObject([{ code: 'cell-count', line: 3, found: '4 cells' }]);
    expect(problems('x_m,y_m,z_kg\n0\n')[0]).toMatchObject({ found: '1 cell' });
  });

  it.each([
    ['x_m,y_m\n0,0\n', 'missing-column'],
    ['x_m,y_m,z_kg,z_g\n0,0,1,1\n', 'missing-column'],
    ['x_m,y_m,z_kg,z_kg\n0,0,1,1\n', 'duplicate-column'],
    ['x_m;y_m;z_kg\n0;0;1\n', 'wrong-delimiter'],
    ['0,0,1\n', 'unknown-column'],
  ])('refuses the header of %j', (text, code) => {
    expect(problems(text)[0]).toMatchObject({ code, line: 1 });
  });

  it('suggests the column that was meant', () => {
    expect(problems('x_m,y_mm,z_kg\n0,0,1\n')[0]).toMatchObject({
      code: 'unknown-column',
      path: 'y_mm',
      hint: 'did you mean `y_m`?',
    });
  });

  it('needs two values in each direction', () => {
    expect(problems('x_m,y_m,z_kg\n0,0,1\n1,0,1\n')[0]).toMatchObject({ code: 'too-few-rows' });
  });

  it('lists no more than twenty problems and counts the others', () => {
    const rows = Array.from({ length: 60 }, (_, k) => `${k},x,1`).join('\n');
    const found = problems(`x_m,y_m,z_kg\n${rows}\n`);
    expect(found).toHaveLength(21);
    expect(found[20]?.code).toBe('more-problems');
  });
});
