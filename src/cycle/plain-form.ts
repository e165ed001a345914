import { HeaderRow } from './columns.ts';
import { dialectOf } from './dialect.ts';
import type { Row } from './row.ts';
import { RowReader } from './rows.ts';

const TIMES: readonly string[] = ['time_s'];
const SPEEDS: readonly string[] = ['speed_kmh', 'speed_mph', 'speed_m_per_s', 'speed_mps'];
const ROADS: readonly string[] = ['altitude_m', 'grade_pct'];

/**
 * Tells the plain form of a cycle from a logged drive by the first two rows: in the plain form the
 * headers are `time_s`, one of `speed_kmh`, `speed_mph`, `speed_m_per_s` and `speed_mps`, and at most
 * one of `altitude_m` and `grade_pct`, in any order, with commas between them; there is no other
 * column and no row of units.
 */
export class PlainForm {
  readonly #reader = new RowReader(',', (row) => this.#take(row));
  #header: HeaderRow | undefined;
  #answer: boolean | undefined;

  /**
   * Takes the next piece of the file.
   * @returns whether it is in the plain form; undefined as long as that cannot be told
   */
  push(piece: Uint8Array): boolean | undefined {
    this.#reader.push(piece);
    if (this.#reader.broken !== undefined) this.#answer ??= this.#header !== undefined;
    return this.#answer;
  }

  /** The file ends here. */
  end(): boolean {
    this.#reader.end();
    return this.#answer ?? this.#header !== undefined;
  }

  #take(row: Row): void {
    if (this.#answer !== undefined || row.isAllEmpty()) return;
    const cells = row.cells().map((cell) => cell.trim());
    if (this.#header !== undefined) this.#answer = !this.#header.isUnitsRow(cells);
    else if (isPlainHeader(cells)) this.#header = new HeaderRow(cells, dialectOf({}), true);
    else this.#answer = false;
  }
}

function isPlainHeader(cells: readonly string[]): boolean {
  const count = (names: readonly string[]): number =>
    cells.filter((cell) => names.includes(cell)).length;
  const roads = count(ROADS);
  return count(TIMES) === 1 && count(SPEEDS) === 1 && roads <= 1 && cells.length === 2 + roads;
}
