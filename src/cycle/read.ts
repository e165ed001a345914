import { parseNumber } from '../config/number.ts';
import { MIN_DISTANCE, NEVER_MOVES, type Quantity, SampleCheck } from './check.ts';
import { type Header, type PlacedColumn, readHeader } from './columns.ts';
import { ProblemList } from './problem-list.ts';
import { type RoadSamples, roadIntegrals } from './road.ts';
import { readRows } from './rows.ts';
import { distance, type Trace } from './trace.ts';

/** Where a cycle comes from. */
export interface CycleSource {
  /** File name for messages, as the user gave it. */
  readonly file: string;
  /** Short name of the cycle for results. */
  readonly name: string;
}

/**
 * Reads a cycle in its plain form: comma-separated, a header row with `time_s`, one of `speed_kmh`,
 * `speed_mph`, `speed_m_per_s` or `speed_mps`, and at most one of `grade_pct` or `altitude_m`.
 * Lines that begin with `#` and empty lines are passed over; a byte order mark and CRLF are fine.
 *
 * @param text the whole file
 * @param source where it comes from
 * @returns the trace, in SI
 * @throws InputError with every problem of the file, in file order (after 20 only their number)
 */
export function parseCycle(text: string, source: CycleSource): Trace {
  const table = new CycleTable(source);
  const broken = readRows(text, (cells, line) => table.add(cells, line));
  if (broken !== undefined) table.breakOff(broken.line);
  return table.trace();
}

/** The rows of a cycle file, checked one by one as they are read. */
class CycleTable {
  readonly #source: CycleSource;
  readonly #problems: ProblemList;
  readonly #time: number[] = [];
  readonly #speed: number[] = [];
  readonly #road: number[] = [];
  #header: Header | undefined;
  #headerLine = 1;
  #check = new SampleCheck('flat');
  #rows = 0;

  constructor(source: CycleSource) {
    this.#source = source;
    this.#problems = new ProblemList(source.file);
  }

  add(cells: readonly string[], line: number): void {
    if (this.#header === undefined) this.#addHeader(cells, line);
    else this.#addRow(this.#header, cells, line);
  }

  #addHeader(cells: readonly string[], line: number): void {
    this.#header = readHeader(cells);
    this.#headerLine = line;
    this.#check = new SampleCheck(roadKind(this.#header.road));
    for (const problem of this.#header.problems) this.#problems.add(line, problem);
  }

  #addRow(header: Header, cells: readonly string[], line: number): void {
    this.#rows++;
    const { time, speed, road, width } = header;
    // Without these two the header has been refused already.
    if (time === undefined || speed === undefined) return;
    if (cells.length !== width) {
      this.#problems.add(line, {
        code: 'cell-count',
        found: countOf(cells.length, 'cell'),
        expected: `${countOf(width, 'cell')}, as the header has`,
        hint: cells.length > width ? TOO_MANY : TOO_FEW,
      });
      return;
    }
    const t = valueIn(cells, time);
    const v = valueIn(cells, speed);
    const r = road === undefined ? 0 : valueIn(cells, road);
    for (const { quantity, ...fault } of this.#check.next(t, v, r)) {
      const column = columnOf(header, quantity);
      this.#problems.add(line, {
        ...fault,
        found: cells[column?.index ?? 0]?.trim() ?? '',
        path: column?.header ?? quantity,
      });
    }
    if (!this.#problems.isEmpty) return;
    this.#time.push(t);
    this.#speed.push(v);
    this.#road.push(r);
  }

  /** The text stops being a table of cells; what follows cannot be read. */
  breakOff(line: number): void {
    this.#problems.add(line, {
      code: 'broken-quotes',
      expected: 'cells that are numbers, without quotation marks',
      hint: 'a quotation mark opens here and does not close, or stands inside a cell; the rows after it were not read',
    });
  }

  trace(): Trace {
    const header = this.#header;
    const speedHeader = header?.speed?.header ?? 'speed';
    if (this.#problems.isEmpty && this.#rows < 2) this.#addTooFewRows();
    this.#problems.throwIfAny();

    const time = Float64Array.from(this.#time);
    const speed = Float64Array.from(this.#speed);
    const road = roadSamples(header?.road, this.#road);
    const trace = { name: this.#source.name, time, speed, ...roadIntegrals(time, speed, road) };
    if (distance(trace) < MIN_DISTANCE) {
      this.#problems.add(this.#headerLine, { ...NEVER_MOVES, path: speedHeader });
    }
    this.#problems.throwIfAny();
    return trace;
  }

  #addTooFewRows(): void {
    const header = this.#header === undefined ? 'a header row and ' : '';
    this.#problems.add(this.#headerLine, {
      code: this.#header === undefined ? 'empty-file' : 'too-few-rows',
      found: this.#header === undefined ? 'no row' : countOf(this.#rows, 'row'),
      expected: `${header}two rows of numbers at least`,
      hint: 'a cycle is driven from one sample to the next: `time_s,speed_kmh`, then `0,0`, `1,3.6` …',
    });
  }
}

const TOO_MANY = 'a decimal comma splits a number into two cells: write a decimal point';
const TOO_FEW = 'cells are separated by commas, not by semicolons or tabs';

function roadKind(column: PlacedColumn | undefined): RoadSamples['kind'] {
  return column?.quantity === 'grade' || column?.quantity === 'altitude' ? column.quantity : 'flat';
}

function roadSamples(column: PlacedColumn | undefined, values: readonly number[]): RoadSamples {
  switch (roadKind(column)) {
    case 'grade':
      return { kind: 'grade', grade: Float64Array.from(values) };
    case 'altitude':
      return { kind: 'altitude', altitude: Float64Array.from(values) };
    case 'flat':
      return { kind: 'flat' };
  }
}

function columnOf(header: Header, quantity: Quantity): PlacedColumn | undefined {
  if (quantity === 'time') return header.time;
  return quantity === 'speed' ? header.speed : header.road;
}

/** The value of a cell in SI, NaN where it is not a number. */
function valueIn(cells: readonly string[], column: PlacedColumn): number {
  return (parseNumber(cells[column.index] ?? '') ?? Number.NaN) * column.factor;
}

function countOf(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}
