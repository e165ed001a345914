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

/** Figures of a case by their columns, packed, since a result may have 100 000 cases. */
export class Figures {
  readonly #places: ColumnPlaces;
  readonly #values: Float64Array;

  /**
   * @param places of the columns, the same object for all cases of a result
   * @param values in their places; NaN where a case has none
   */
  constructor(places: ColumnPlaces, values: Float64Array) {
    this.#places = places;
    this.#values = values;
  }

  /**
   * @param column that was asked for when the result was read
   * @returns its value, NaN where the case has none: no limit holds for that
   */
  of(column: string): number {
    const place = this.#places.get(column);
    if (place === undefined) throw new DefectError(`the column ${column} was not read`);
    return this.#values[place] ?? Number.NaN;
  }
}
