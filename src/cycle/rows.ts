import type { Problem } from '../config/problem.ts';
import { Row } from './row.ts';

const NUL = 0;
const TAB = 9;
const LF = 10;
const CR = 13;
const SPACE = 32;
const QUOTE = 34;
const HASH = 35;

/** Longest row of a table [bytes]: room for thousands of columns, but not for a file without rows. */
const MAX_ROW = 1 << 20;
/** Stands for the place after something that is not all there yet, or is broken. */
const NOWHERE = -1;

/** The text stops being a table; the rows after it were not read. */
export interface BrokenTable {
  /** Line on which the broken row begins. */
  readonly line: number;
  /** What is wrong with it. */
  readonly problem: Problem;
}

/**
 * Cuts a file into rows and cells: a byte order mark, any line ends, empty lines, lines that begin
 * with `#`, and cells in quotation marks (RFC 4180; blanks may stand around them), which may hold
 * delimiters, line ends and doubled quotation marks. The file comes in pieces of any size. Bytes are
 * looked at, not characters: all that matter here are single bytes in UTF-8 and part of no others.
 *
 * A general parser takes some 25 µs for a record with quotation marks, which is a minute and a half
 * for a log of 100 hours; this takes less than 1 µs for any row.
 */
export class RowReader {
  readonly #delimiter: number;
  readonly #take: (row: Row) => void;
  readonly #row = new Row();
  /** 1 for the bytes at which a cell without quotation marks ends, in one way or another. */
  readonly #ends = new Uint8Array(256);
  /** The beginning of a row whose end is still to come, and its length. */
  #pending = new Uint8Array(0);
  #pendingLength = 0;
  #line = 1;
  /** Line ends within the cells of the row in progress. */
  #innerLines = 0;
  #begun = false;
  #broken: BrokenTable | undefined;
  #comments = 0;
  #blanks = 0;

  /**
   * @param delimiter between cells, one ASCII character
   * @param take called for each row; what it throws ends the reading
   */
  constructor(delimiter: string, take: (row: Row) => void) {
    this.#delimiter = delimiter.charCodeAt(0);
    this.#take = take;
    for (const byte of [NUL, LF, CR, QUOTE, this.#delimiter]) this.#ends[byte] = 1;
  }

  /** Where the text stopped being a table, if it did. */
  get broken(): BrokenTable | undefined {
    return this.#broken;
  }

  /** Number of lines that begin with `#`. */
  get comments(): number {
    return this.#comments;
  }

  /** Number of lines with nothing but blanks. */
  get blanks(): number {
    return this.#blanks;
  }

  /** Takes the next piece of the file. Nothing of it is kept. */
  push(piece: Uint8Array): void {
    if (this.#broken !== undefined) return;
    if (this.#pendingLength === 0) {
      const rest = this.#split(piece, piece.length, false);
      if (rest < piece.length) this.#append(piece.subarray(rest));
      return;
    }
    this.#append(piece);
    const length = this.#pendingLength;
    // Without a line end the row only goes on: no need to look at its beginning again.
    if (length <= MAX_ROW && !piece.includes(LF) && !piece.includes(CR)) return;
    const rest = this.#split(this.#pending, length, false);
    this.#pending.copyWithin(0, rest, length);
    this.#pendingLength = length - rest;
  }

  /** Takes what is left as the last row. */
  end(): void {
    if (this.#broken === undefined) this.#split(this.#pending, this.#pendingLength, true);
    this.#pendingLength = 0;
  }

  #append(piece: Uint8Array): void {
    const length = this.#pendingLength + piece.length;
    if (length > this.#pending.length) {
      const wider = new Uint8Array(Math.max(length, 2 * this.#pending.length));
      wider.set(this.#pending.subarray(0, this.#pendingLength));
      this.#pending = wider;
    }
    this.#pending.set(piece, this.#pendingLength);
    this.#pendingLength = length;
  }

  /**
   * Hands over all rows that are whole.
   * @param to how many bytes there are
   * @param final whether the file ends there
   * @returns place of the first byte that belongs to none of them
   */
  #split(bytes: Uint8Array, to: number, final: boolean): number {
    let at = 0;
    while (at < to) {
      const start = this.#begun ? at : at + markLength(bytes, at);
      const next =
        bytes[start] === HASH
          ? this.#comment(bytes, start, to, final)
          : this.#record(bytes, start, to, final);
      if (this.#broken !== undefined) return to;
      if (next === NOWHERE) {
        // One more, because a row may wait for what follows its line end.
        if (to - start > MAX_ROW + 1) this.#break(TOO_LONG);
        return at;
      }
      this.#begun = true;
      at = next;
    }
    return to;
  }

  #comment(bytes: Uint8Array, from: number, to: number, final: boolean): number {
    let at = from;
    while (at < to && bytes[at] !== LF && bytes[at] !== CR) at++;
    const next = afterLineEnd(bytes, at, to, final);
    if (next === NOWHERE) return NOWHERE;
    if (at - from > MAX_ROW) return this.#break(TOO_LONG);
    this.#comments++;
    this.#line++;
    return next;
  }

  #record(bytes: Uint8Array, from: number, to: number, final: boolean): number {
    const row = this.#row;
    const ends = this.#ends;
    const delimiter = this.#delimiter;
    row.begin(bytes, this.#line);
    this.#innerLines = 0;
    let at = from;
    for (;;) {
      const start = at;
      while (at < to && ends[bytes[at]!] === 0) at++;
      if (at < to && bytes[at] === QUOTE && isBlank(bytes, start, at)) {
        const close = this.#closingMark(bytes, from, at + 1, to, final);
        if (close === NOWHERE) return NOWHERE;
        row.add(at + 1, close);
        at = close + 1;
        while (at < to && bytes[at] !== delimiter && isBlank(bytes, at, at + 1)) at++;
      } else {
        row.add(start, at);
      }
      if (at === to || bytes[at] !== delimiter) break;
      at++;
    }
    if (at < to && bytes[at] !== LF && bytes[at] !== CR) return this.#refuse(bytes, from, at);
    const next = afterLineEnd(bytes, at, to, final);
    if (next === NOWHERE) return NOWHERE;
    if (at - from > MAX_ROW) return this.#break(TOO_LONG);
    if (row.count === 1 && row.isEmpty(0)) this.#blanks++;
    else this.#take(row);
    this.#line += 1 + this.#innerLines;
    return next;
  }

  /** Place of the quotation mark that closes the cell which begins at `open`. */
  #closingMark(bytes: Uint8Array, from: number, open: number, to: number, final: boolean): number {
    for (let at = open; at < to; at++) {
      const byte = bytes[at];
      if (byte === QUOTE) {
        const last = at + 1 === to;
        if (last && !final) return NOWHERE;
        if (last || bytes[at + 1] !== QUOTE) return at;
        at++;
      } else if (byte === LF || (byte === CR && bytes[at + 1] !== LF)) {
        this.#innerLines++;
      } else if (byte === NUL) {
        return this.#refuse(bytes, from, at);
      }
    }
    if (!final) return NOWHERE;
    return this.#break(to - from > MAX_ROW ? TOO_LONG : BROKEN_QUOTES);
  }

  /** A byte stands where it cannot. */
  #refuse(bytes: Uint8Array, from: number, at: number): typeof NOWHERE {
    if (at - from > MAX_ROW) return this.#break(TOO_LONG);
    if (bytes[at] !== NUL) return this.#break(BROKEN_QUOTES);
    return this.#break(isUtf16(bytes, from) ? UTF_16 : NOT_TEXT);
  }

  #break(problem: Problem): typeof NOWHERE {
    this.#broken = { line: this.#line, problem };
    return NOWHERE;
  }
}

const BROKEN_QUOTES: Problem = {
  code: 'broken-quotes',
  expected: 'quotation marks around a whole cell, or none',
  hint: 'a quotation mark opens here and does not close, or stands inside a cell; the rows after it were not read',
};

const TOO_LONG: Problem = {
  code: 'row-too-long',
  expected: `rows of ${MAX_ROW} bytes at most`,
  hint: 'this is no table, its line ends are lost, or a quotation mark opens here and does not close; nothing after it was read',
};

const NOT_TEXT: Problem = {
  code: 'not-text',
  found: 'bytes that are no text',
  expected: 'a table in text form, in UTF-8',
  hint: 'a workbook has to be saved as CSV, a compressed file to be unpacked, a measuring file to be exported; nothing from here on was read',
};

const UTF_16: Problem = {
  code: 'not-text',
  found: 'text in UTF-16',
  expected: 'a table in text form, in UTF-8',
  hint: 'save it as CSV in UTF-8',
};

function markLength(bytes: Uint8Array, at: number): number {
  return bytes[at] === 0xef && bytes[at + 1] === 0xbb && bytes[at + 2] === 0xbf ? 3 : 0;
}

function isUtf16(bytes: Uint8Array, at: number): boolean {
  return (
    (bytes[at] === 0xff && bytes[at + 1] === 0xfe) || (bytes[at] === 0xfe && bytes[at + 1] === 0xff)
  );
}

function isBlank(bytes: Uint8Array, from: number, to: number): boolean {
  for (let at = from; at < to; at++) if (bytes[at] !== SPACE && bytes[at] !== TAB) return false;
  return true;
}

/** Place of what follows the line end at `at`, which may be the end of the file. */
function afterLineEnd(bytes: Uint8Array, at: number, to: number, final: boolean): number {
  if (at === to) return final ? to : NOWHERE;
  if (bytes[at] === LF) return at + 1;
  if (at + 1 === to) return final ? to : NOWHERE;
  return bytes[at + 1] === LF ? at + 2 : at + 1;
}
