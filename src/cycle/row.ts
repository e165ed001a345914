import { decimalIn } from './decimal.ts';
import { decode } from './utf8.ts';

const TAB = 9;
const SPACE = 32;

/**
 * One row of a table, as the places of its cells in the bytes of the file, so that a row of numbers
 * is read without making anything. There is one such object a table; it is good until the next row.
 */
export class Row {
  /** Line of the file on which the row begins, from 1. */
  line = 1;
  /** Number of cells. */
  count = 0;
  /** Where the cells lie. */
  bytes: Uint8Array = new Uint8Array(0);
  #starts = new Int32Array(64);
  #ends = new Int32Array(64);

  /** Begins a new row. */
  begin(bytes: Uint8Array, line: number): void {
    this.bytes = bytes;
    this.line = line;
    this.count = 0;
  }

  /** Adds a cell: the bytes from `start` to `end`, without quotation marks around them. */
  add(start: number, end: number): void {
    if (this.count === this.#starts.length) {
      this.#starts = doubled(this.#starts);
      this.#ends = doubled(this.#ends);
    }
    this.#starts[this.count] = start;
    this.#ends[this.count] = end;
    this.count++;
  }

  /** Place of the first byte of a cell that is no blank. */
  start(cell: number): number {
    const end = this.#ends[cell]!;
    let at = this.#starts[cell]!;
    while (at < end && isBlank(this.bytes[at]!)) at++;
    return at;
  }

  /** One past the last byte of a cell that is no blank. */
  end(cell: number): number {
    const start = this.#starts[cell]!;
    let at = this.#ends[cell]!;
    while (at > start && isBlank(this.bytes[at - 1]!)) at--;
    return at;
  }

  /** Whether there is nothing but blanks in a cell. */
  isEmpty(cell: number): boolean {
    return this.start(cell) >= this.#ends[cell]!;
  }

  /** Whether there is nothing but blanks in all cells. */
  isAllEmpty(): boolean {
    for (let cell = 0; cell < this.count; cell++) if (!this.isEmpty(cell)) return false;
    return true;
  }

  /**
   * The number in a cell, NaN where it is none.
   * @param point code of the decimal sign: that of `.` or `,`
   */
  number(cell: number, point: number): number {
    return decimalIn(this.bytes, this.#starts[cell]!, this.#ends[cell]!, point);
  }

  /** The characters of a cell without the blanks around them. */
  text(cell: number): string {
    return this.#raw(cell).trim();
  }

  /** The characters of all cells, blanks and all. */
  cells(): string[] {
    return Array.from({ length: this.count }, (_, cell) => this.#raw(cell));
  }

  #raw(cell: number): string {
    const text = decode(this.bytes, this.#starts[cell]!, this.#ends[cell]!);
    // The row reader lets no single quotation mark into a cell: each one here is doubled.
    return text.includes('"') ? text.replaceAll('""', '"') : text;
  }
}

function isBlank(byte: number): boolean {
  return byte === SPACE || byte === TAB;
}

function doubled(places: Int32Array<ArrayBuffer>): Int32Array<ArrayBuffer> {
  const wider = new Int32Array(2 * places.length);
  wider.set(places);
  return wider;
}
