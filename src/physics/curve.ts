/**
 * Piecewise-linear curves and bilinear tables over rising, unevenly spaced grids. Each remembers
 * the cell of the last look-up, since a time loop moves little from one interval to the next.
 * Outside its grid a curve holds the edge value.
 */

/**
 * Index i of the cell x[i] ≤ value < x[i+1], starting the search at the last cell; the first or last
 * cell for a value outside. The cell does not depend on where the search began, so that a run gives
 * the same bits whatever ran before it.
 */
export function cellOf(grid: Float64Array, value: number, last: number): number {
  let i = last;
  const top = grid.length - 2;
  while (i < top && value >= grid[i + 1]!) i++;
  while (i > 0 && value < grid[i]!) i--;
  return i;
}

/** y over x, piecewise linear, edge held outside. */
export class Curve {
  readonly x: Float64Array;
  readonly y: Float64Array;
  private cell = 0;

  constructor(x: ArrayLike<number>, y: ArrayLike<number>) {
    this.x = Float64Array.from(x);
    this.y = Float64Array.from(y);
  }

  /** Value at x; the edge value outside the grid. */
  at(value: number): number {
    const { x, y } = this;
    if (x.length === 1) return y[0]!;
    const i = cellOf(x, value, this.cell);
    this.cell = i;
    const share = (value - x[i]!) / (x[i + 1]! - x[i]!);
    const held = share < 0 ? 0 : Math.min(share, 1);
    return y[i]! + held * (y[i + 1]! - y[i]!);
  }
}

/** z over x and y, bilinear, edge held outside. Values row by row: z[ix · ny + iy]. */
export class Table {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array;
  private cellX = 0;
  private cellY = 0;

  constructor(x: ArrayLike<number>, y: ArrayLike<number>, z: ArrayLike<number>) {
    this.x = Float64Array.from(x);
    this.y = Float64Array.from(y);
    this.z = Float64Array.from(z);
  }

  /** Value at (x, y); nearest edge outside the grid. */
  at(valueX: number, valueY: number): number {
    const { x, y, z } = this;
    const i = cellOf(x, valueX, this.cellX);
    const j = cellOf(y, valueY, this.cellY);
    this.cellX = i;
    this.cellY = j;
    const sx = (valueX - x[i]!) / (x[i + 1]! - x[i]!);
    const sy = (valueY - y[j]!) / (y[j + 1]! - y[j]!);
    const hx = sx < 0 ? 0 : Math.min(sx, 1);
    const hy = sy < 0 ? 0 : Math.min(sy, 1);
    const ny = y.length;
    const a = i * ny + j;
    const low = z[a]! + hy * (z[a + 1]! - z[a]!);
    const high = z[a + ny]! + hy * (z[a + ny + 1]! - z[a + ny]!);
    return low + hx * (high - low);
  }
}

/** y over an evenly spaced x from 0, piecewise linear, edge held above. Look-up by index. */
export class UniformCurve {
  private readonly values: Float64Array;
  private readonly perStep: number;

  /**
   * @param top last x
   * @param count number of values, the k-th at x = k · top / (count − 1)
   * @param f what is tabulated
   */
  constructor(top: number, count: number, f: (x: number) => number) {
    this.perStep = (count - 1) / top;
    this.values = Float64Array.from({ length: count }, (_, k) => f((k * top) / (count - 1)));
  }

  /** Value at x ≥ 0. */
  at(x: number): number {
    const position = x * this.perStep;
    const i = Math.floor(position);
    const last = this.values.length - 1;
    if (i >= last) return this.values[last]!;
    const low = this.values[i]!;
    return low + (position - i) * (this.values[i + 1]! - low);
  }
}
