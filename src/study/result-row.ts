import { DefectError } from '../config/problem.ts';
import type { CaseNames } from '../summary/summary.ts';

/** A case of a result: what it is called, and the figures that were asked for. */
export interface ResultRow {
  readonly names: CaseNames;
  /** For each path that the result varies; undefined where the case says nothing of it. */
  readonly varied: readonly (number | null | undefined)[];
  readonly hash: string;
  /** Why the case could not be finished; null for one that ran. */
  readonly failure: string | null;
  readonly figures: Figures;
}

/** Columns by their names, with their places. */
export type ColumnPlaces = ReadonlyMap<string, number>;

/** Figures of a case by their columns. */
export class Figures {
  readonly #places: ColumnPlaces;
  readonly #block: Float64Array;
  readonly #start: number;

  /**
   * @param places of the columns, the same object for all cases of a result
   * @param block in which the figures of many cases stand; NaN where a case has none
   * @param start of those of this case
   */
  constructor(places: ColumnPlaces, block: Float64Array, start: number) {
    this.#places = places;
    this.#block = block;
    this.#start = start;
  }

  /**
   * @param column that was asked for when the result was read
   * @returns its value, NaN where the case has none: no limit holds for that
   */
  of(column: string): number {
    const place = this.#places.get(column);
    if (place === undefined) throw new DefectError(`the column ${column} was not read`);
    return this.#block[this.#start + place] ?? Number.NaN;
  }
}

/** Cases whose figures stand in one block. */
const BLOCK = 1024;

/** Keeps the figures of cases close together, since a result may have 100 000 of them. */
export class FigureStore {
  readonly #places: ColumnPlaces;
  #block = new Float64Array(0);
  #next = 0;

  constructor(columns: Iterable<string>) {
    this.#places = new Map([...columns].map((name, place) => [name, place]));
  }

  /** @param values in the order of the columns; none for a case without figures */
  add(values: readonly number[]): Figures {
    const size = this.#places.size;
    if (this.#next + size > this.#block.length) {
      this.#block = new Float64Array(BLOCK * Math.max(size, 1)).fill(Number.NaN);
      this.#next = 0;
    }
    this.#block.set(values, this.#next);
    const figures = new Figures(this.#places, this.#block, this.#next);
    this.#next += size;
    return figures;
  }
}
