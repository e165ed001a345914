import { describe, expect, it } from 'vitest';
import { Curve, cellOf, Table, UniformCurve } from '../../src/physics/curve.ts';
import { between, seeded } from '../seeded.ts';
import { Worst } from '../within.ts';

describe('the cell of a value', () => {
  const grid = Float64Array.of(0, 1, 4, 9);

  it('is found from any cell of the last look-up', () => {
    for (const last of [0, 1, 2]) {
      expect(cellOf(grid, 0.5, last)).toBe(0);
      expect(cellOf(grid, 3, last)).toBe(1);
      expect(cellOf(grid, 8, last)).toBe(2);
    }
  });

  it('is the outermost one beyond the grid', () => {
    expect(cellOf(grid, -5, 2)).toBe(0);
    expect(cellOf(grid, 50, 0)).toBe(2);
  });
});

describe('a piecewise-linear curve', () => {
  const curve = new Curve([0, 1, 4], [10, 20, 50]);

  it('is linear between its points and passes through them', () => {
    expect(curve.at(0)).toBe(10);
    expect(curve.at(1)).toBe(20);
    expect(curve.at(4)).toBe(50);
    expect(curve.at(0.25)).toBe(12.5);
    expect(curve.at(2.5)).toBe(35);
  });

  it('holds its edges outside', () => {
    expect(curve.at(-3)).toBe(10);
    expect(curve.at(100)).toBe(50);
  });

  it('of one point is that point everywhere', () => {
    const point = new Curve([3], [7]);
    expect([point.at(-1), point.at(3), point.at(9)]).toEqual([7, 7, 7]);
  });

  it('gives what a fresh curve gives, whatever was looked up before', () => {
    const random = seeded(21);
    const x = [0];
    for (let i = 0; i < 30; i++) x.push(x[i]! + between(random, 0.01, 2));
    const y = x.map(() => between(random, -5, 5));
    const used = new Curve(x, y);
    for (let i = 0; i < 2000; i++) {
      const value = between(random, -3, x.at(-1)! + 3);
      expect(used.at(value)).toBe(new Curve(x, y).at(value));
    }
  });

  it('keeps its own copy of the points', () => {
    const y = [1, 2];
    const own = new Curve([0, 1], y);
    y[1] = 99;
    expect(own.at(1)).toBe(2);
  });
});

describe('a bilinear table', () => {
  it('reads rows as x and columns as y', () => {
    const table = new Table([0, 10], [0, 1, 2], [1, 2, 3, 11, 12, 13]);
    expect(table.at(0, 2)).toBe(3);
    expect(table.at(10, 0)).toBe(11);
    // midway in both: mean of 1, 2, 11, 12
    expect(table.at(5, 0.5)).toBe(6.5);
  });

  it('holds its edges outside', () => {
    const table = new Table([0, 10], [0, 1, 2], [1, 2, 3, 11, 12, 13]);
    expect(table.at(-1, -1)).toBe(1);
    expect(table.at(99, 99)).toBe(13);
    expect(table.at(5, 99)).toBe(8);
  });

  it('reproduces a + b x + c y + d x y, from any look-up before', () => {
    const random = seeded(22);
    const x = [0, 0.5, 2, 3, 7];
    const y = [-4, -1, 0, 5];
    const f = (u: number, v: number) => 3 - 2 * u + 0.5 * v + 0.25 * u * v;
    const table = new Table(
      x,
      y,
      x.flatMap((u) => y.map((v) => f(u, v))),
    );
    const worst = new Worst();
    for (let i = 0; i < 2000; i++) {
      const u = between(random, 0, 7);
      const v = between(random, -4, 5);
      worst.see(Math.abs(table.at(u, v) - f(u, v)), () => `at ${u}, ${v}`);
    }
    // Values reach 30: a few roundings.
    worst.expectAtMost(1e-13);
  });
});

describe('a curve over an even grid', () => {
  it('passes through what it tabulates and is linear between', () => {
    const curve = new UniformCurve(10, 6, (x) => x * x);
    expect(curve.at(0)).toBe(0);
    expect(curve.at(4)).toBe(16);
    // between 16 and 36
    expect(curve.at(5)).toBe(26);
  });

  it('holds its last value above the top', () => {
    const curve = new UniformCurve(10, 6, (x) => x * x);
    expect(curve.at(10)).toBe(100);
    expect(curve.at(1e6)).toBe(100);
  });

  it('is as near to a smooth function as a linear interpolation must be', () => {
    const count = 101;
    const curve = new UniformCurve(2 * Math.PI, count, Math.sin);
    const step = (2 * Math.PI) / (count - 1);
    const random = seeded(23);
    const worst = new Worst();
    for (let i = 0; i < 2000; i++) {
      const x = between(random, 0, 2 * Math.PI);
      worst.see(Math.abs(curve.at(x) - Math.sin(x)), () => `at ${x}`);
    }
    // h² / 8 · max |f''|, with rounding
    worst.expectAtMost((step * step) / 8 + 1e-14);
  });
});
