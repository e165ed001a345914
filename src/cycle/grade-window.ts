/** Half of the window [cells]: 200 m to either side. */
const HALF = 200;
/** A power of two above the 401 cells of a window. */
const RING = 512;

/**
 * One pass of the smoothing of a height profile: takes heights cell by cell, hands on smoothed ones
 * cell by cell, 200 cells later.
 *
 * The slope at a cell is that between the cells 200 before and 200 behind it; near the ends the
 * window is cut short. The smoothed height is the first height and the sum of the slopes.
 */
export class WindowPass {
  /** Sum of the slopes that rise [m], that of the first cell included, as the rules sum them up. */
  gain = 0;
  readonly #last: number;
  readonly #next: (height: number) => void;
  readonly #ring = new Float64Array(RING);
  #taken = 0;
  #height = 0;

  /**
   * @param last number of the last cell; the first is 0
   * @param next takes the smoothed heights [m]
   */
  constructor(last: number, next: (height: number) => void) {
    this.#last = last;
    this.#next = next;
  }

  /** @param height of the next cell [m] */
  take(height: number): void {
    const cell = this.#taken++;
    this.#ring[cell % RING] = height;
    if (cell >= HALF) this.#handOn(cell - HALF);
    if (cell < this.#last) return;
    for (let rest = Math.max(0, cell - HALF + 1); rest <= cell; rest++) this.#handOn(rest);
  }

  #handOn(cell: number): void {
    const from = Math.max(0, cell - HALF);
    const to = Math.min(this.#last, cell + HALF);
    const first = this.#ring[from % RING]!;
    const rise = (this.#ring[to % RING]! - first) / (to - from);
    this.#height = cell === 0 ? first : this.#height + rise;
    if (rise > 0) this.gain += rise;
    this.#next(this.#height);
  }
}
