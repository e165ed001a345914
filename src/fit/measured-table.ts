import { InputError, type Problem } from '../config/problem.ts';
import type { Decimal, Delimiter, Dialect } from '../cycle/dialect.ts';
import { dialectOf } from '../cycle/dialect.ts';
import { isNoValue } from '../cycle/drive-rows.ts';
import { ProblemList } from '../cycle/problem-list.ts';
import type { Pieces } from '../cycle/read.ts';
import type { Row } from '../cycle/row.ts';
import {
  cellCount,
  countOf,
  notAClockTime,
  notADateTime,
  notANumber,
  notANumberOfTime,
} from '../cycle/row-problems.ts';
import { RowReader } from '../cycle/rows.ts';
import { TimeColumn, timeFormOf } from '../cycle/time-column.ts';
import { Utf8Pieces } from '../cycle/utf8.ts';
import type { MeasuredColumn } from './measured-columns.ts';
import { headerFormProblem, isUnitsRow, placeColumns, type TableForm } from './measured-header.ts';

export type { TableForm } from './measured-header.ts';

/** How a measured table is written, so far as that cannot be seen in it. */
export interface TableOptions {
  readonly delimiter?: Delimiter | undefined;
  readonly decimal?: Decimal | undefined;
  /** Headers by quantity, if need be with a unit behind a colon */
  readonly columns?: Readonly<Record<string, string>> | undefined;
}

/** A measured table in SI; a number that a row does not have is NaN. */
export interface MeasuredTable {
  /** As the user gave it */
  readonly file: string;
  readonly count: number;
  /** Line of each row */
  readonly line: readonly number[];
  /** Numbers, times and flags (1 and 0) by quantity */
  readonly numbers: ReadonlyMap<string, Float64Array>;
  readonly labels: ReadonlyMap<string, readonly string[]>;
  readonly columns: readonly MeasuredColumn[];
  /** Headers that were not read */
  readonly ignored: readonly string[];
}

const ON = ['1', 'on', 'true', 'yes'];
const OFF = ['0', 'off', 'false', 'no'];

/**
 * Reads a measured table: a header row whose columns name what they hold and its unit, a row of units
 * if there is one, then a row a sample, in the dialects that drives are read in.
 *
 * @param pieces the file as it comes
 * @param file its name, for messages
 * @param form what it is read for
 * @param options how it is written
 * @returns the table in SI
 * @throws InputError with every problem of the file, in file order (after 20 only their number)
 */
export async function readMeasuredTable(
  pieces: Pieces,
  file: string,
  form: TableForm,
  options: TableOptions = {},
): Promise<MeasuredTable> {
  const { delimiter, decimal, columns = {} } = options;
  const reader = new TableReader(file, form, dialectOf({ delimiter, decimal }), columns);
  const utf8 = new Utf8Pieces();
  for await (const piece of pieces) reader.push(utf8.bytes(piece));
  return reader.end();
}

class TableReader {
  readonly #file: string;
  readonly #form: TableForm;
  readonly #dialect: Dialect;
  readonly #asked: ReadonlyMap<string, string>;
  readonly #problems: ProblemList;
  readonly #rows: RowReader;
  #header: readonly string[] | undefined;
  #headerLine = 1;
  #columns: readonly MeasuredColumn[] | undefined;
  #ignored: readonly string[] = [];
  #values: number[][] = [];
  #labels: string[][] = [];
  #times: TimeColumn | undefined;
  #line: number[] = [];
  #count = 0;

  constructor(
    file: string,
    form: TableForm,
    dialect: Dialect,
    columns: Readonly<Record<string, string>>,
  ) {
    this.#file = file;
    this.#form = form;
    this.#dialect = dialect;
    this.#asked = new Map(Object.entries(columns));
    this.#problems = new ProblemList(file);
    this.#rows = new RowReader(dialect.delimiter, (row) => this.#take(row));
  }

  push(bytes: Uint8Array): void {
    this.#rows.push(bytes);
    if (this.#rows.broken !== undefined) this.end();
  }

  end(): MeasuredTable {
    this.#rows.end();
    const { broken } = this.#rows;
    if (broken !== undefined) this.#problems.add(broken.line, broken.problem);
    if (this.#header !== undefined && this.#columns === undefined) this.#place([]);
    if (this.#problems.isEmpty && this.#count < 2) this.#addTooFew();
    this.#problems.throwIfAny();
    const columns = this.#columns!;
    const numbers = new Map<string, Float64Array>();
    const labels = new Map<string, readonly string[]>();
    for (const [k, { kind }] of columns.entries()) {
      if (kind.form === 'label') labels.set(kind.quantity, this.#labels[k]!);
      else numbers.set(kind.quantity, Float64Array.from(this.#values[k]!));
    }
    return {
      file: this.#file,
      count: this.#count,
      line: this.#line,
      numbers,
      labels,
      columns,
      ignored: this.#ignored,
    };
  }

  #addTooFew(): void {
    const isEmpty = this.#header === undefined;
    this.#problems.add(this.#headerLine, {
      code: isEmpty ? 'empty-file' : 'too-few-rows',
      found: isEmpty ? 'no row' : countOf(this.#count, 'row'),
      expected: `${this.#form.what}: a header row, and rows of numbers below it`,
    });
  }

  #take(row: Row): void {
    if (row.isAllEmpty()) return;
    if (this.#columns !== undefined) {
      this.#takeRow(row, this.#columns);
      return;
    }
    const cells = row.cells().map((cell) => cell.trim());
    if (this.#header === undefined) {
      this.#takeHeader(row, cells);
      return;
    }
    const isUnits = isUnitsRow(this.#header, cells, this.#form);
    const columns = this.#place(isUnits ? cells : []);
    if (!isUnits) this.#takeRow(row, columns);
  }

  #takeHeader(row: Row, cells: readonly string[]): void {
    this.#headerLine = row.line;
    const problem = headerFormProblem(cells, this.#dialect.delimiter, this.#form, this.#asked);
    if (problem !== undefined) {
      this.#problems.add(row.line, problem);
      this.#problems.throwIfAny();
    }
    this.#header = cells;
  }

  #place(units: readonly string[]): readonly MeasuredColumn[] {
    const placed = placeColumns(this.#header!, units, this.#form, this.#asked);
    for (const problem of placed.problems) this.#problems.add(this.#headerLine, problem);
    this.#problems.throwIfAny();
    this.#ignored = placed.ignored;
    this.#values = placed.columns.map(() => []);
    this.#labels = placed.columns.map(() => []);
    this.#columns = placed.columns;
    return placed.columns;
  }

  #takeRow(row: Row, columns: readonly MeasuredColumn[]): void {
    const width = this.#header!.length;
    const extra = row.count - width;
    // A delimiter at the end of every row is no cell more.
    if (extra !== 0 && !(extra === 1 && row.isEmpty(width))) {
      this.#problems.add(row.line, cellCount(row, width, this.#dialect));
      return;
    }
    for (const [k, column] of columns.entries()) {
      if (column.kind.form === 'label') this.#labels[k]!.push(row.text(column.index));
      else this.#values[k]!.push(this.#value(row, column));
    }
    this.#line.push(row.line);
    this.#count++;
  }

  #value(row: Row, column: MeasuredColumn): number {
    switch (column.kind.form) {
      case 'time':
        return this.#time(row, column);
      case 'flag':
        return this.#flag(row, column);
      default: {
        const point = this.#dialect.decimal.charCodeAt(0);
        const value = row.number(column.index, point) * (column.unit?.factor ?? 1);
        if (Number.isNaN(value)) this.#noValue(row, column);
        return value;
      }
    }
  }

  #time(row: Row, { index, header, unit }: MeasuredColumn): number {
    const text = row.text(index);
    if (this.#times === undefined) {
      if (isNoValue(text)) return Number.NaN;
      const form = unit === undefined ? timeFormOf(text) : 'number';
      if (unit === undefined && form === 'number') {
        this.#problems.add(this.#headerLine, {
          code: 'missing-unit',
          path: header,
          found: header,
          expected: 'times with their unit, as in time_s, time_ms',
          hint: `name it in the header, or say it as in \`--columns time='${header}:s'\``,
        });
        this.#problems.throwIfAny();
      }
      const point = this.#dialect.decimal.charCodeAt(0);
      this.#times = new TimeColumn(form, index, unit?.factor ?? 1, point);
    }
    const value = this.#times.read(row);
    if (Number.isNaN(value) && !isNoValue(text)) {
      this.#problems.add(row.line, notATime(this.#times, row, header, text, this.#dialect));
    }
    return value;
  }

  #flag(row: Row, column: MeasuredColumn): number {
    const text = row.text(column.index).toLowerCase();
    if (ON.includes(text) || Number(text) === 1) return 1;
    if (OFF.includes(text) || (text !== '' && Number(text) === 0)) return 0;
    if (!isNoValue(text)) {
      this.#problems.add(row.line, {
        code: 'not-a-flag',
        path: column.header,
        found: row.text(column.index),
        expected: '1 or 0, on or off, true or false',
      });
    }
    return Number.NaN;
  }

  #noValue(row: Row, { index, header }: MeasuredColumn): void {
    const text = row.text(index);
    if (!isNoValue(text)) this.#problems.add(row.line, notANumber(header, text, this.#dialect));
  }
}

function notATime(
  times: TimeColumn,
  row: Row,
  header: string,
  text: string,
  dialect: Dialect,
): Problem {
  if (times.form === 'number') return notANumberOfTime(header, text, dialect);
  return times.form === 'clock'
    ? notAClockTime(header, text)
    : notADateTime(header, text, times.lacksZone(row));
}

/** The column of a quantity, which the form of the table requires. */
export function column(table: MeasuredTable, quantity: string): Float64Array {
  return table.numbers.get(quantity)!;
}

/** An error of a table, at a row of it. */
export function tableProblem(
  table: MeasuredTable,
  row: number | undefined,
  problem: Problem,
): InputError {
  const line = row === undefined ? undefined : table.line[row];
  return new InputError([
    { ...problem, file: table.file, ...(line === undefined ? {} : { line }) },
  ]);
}
