import type { Problem } from '../config/problem.ts';
import { DEGREE } from '../config/units.ts';
import { SampleCheck, type SampleFault } from './check.ts';
import type { Quantity } from './column-names.ts';
import type { Header, PlacedColumn } from './columns.ts';
import type { Dialect } from './dialect.ts';
import type { Drive } from './drive.ts';
import { DriveColumns } from './drive-columns.ts';
import { missingTimeUnit } from './header-problems.ts';
import { PositionSpeeds } from './positions.ts';
import type { ProblemList } from './problem-list.ts';
import type { UsedColumn } from './read-report.ts';
import type { RoadSamples } from './road.ts';
import type { Row } from './row.ts';
import {
  cellCount,
  notAClockTime,
  notADateTime,
  notANumber,
  notANumberOfTime,
  outOfRange,
} from './row-problems.ts';
import { TimeColumn, timeFormOf } from './time-column.ts';

/** What logs write where they have no value. */
const NO_VALUE: ReadonlySet<string> = new Set(['nan', 'na', 'n/a', 'null', 'none', '-', '--']);
/** Farthest that a latitude and a longitude may go [rad]; the last bits of 90° may be rounded up. */
const MAX_LATITUDE = 90.000_001 * DEGREE;
const MAX_LONGITUDE = 360.000_001 * DEGREE;

/** A column that is read, with what is needed to do so. */
interface Source {
  readonly column: PlacedColumn;
  readonly index: number;
  /** SI per unit. */
  readonly factor: number;
  /** Rows without a value. */
  missing: number;
}

/** The rows of a drive below its header. */
export class DriveRows {
  readonly #problems: ProblemList;
  readonly #dialect: Dialect;
  readonly #width: number;
  readonly #point: number;
  readonly #headerLine: number;
  readonly #time: Source;
  readonly #speed: Source | undefined;
  readonly #altitude: Source | undefined;
  readonly #grade: Source | undefined;
  readonly #latitude: Source | undefined;
  readonly #longitude: Source | undefined;
  /** Known with the first time; until then rows have none. */
  #times: TimeColumn | undefined;
  #start: string | undefined;
  readonly #check: SampleCheck | undefined;
  readonly #columns: DriveColumns;
  readonly #positions: PositionSpeeds;
  #rows = 0;
  #noFix = 0;

  /**
   * @param header with time, and with speed or position
   * @param headerLine its line
   * @param dialect of the file
   * @param strict whether every sample is checked, and none may be missing
   * @param problems of the file, to add to
   */
  constructor(
    header: Header,
    headerLine: number,
    dialect: Dialect,
    strict: boolean,
    problems: ProblemList,
    file: string,
  ) {
    const { time, speed, altitude, grade, latitude, longitude } = header.columns;
    this.#problems = problems;
    this.#dialect = dialect;
    this.#width = header.width;
    this.#point = dialect.decimal.charCodeAt(0);
    this.#headerLine = headerLine;
    this.#time = sourceOf(time!);
    this.#speed = speed && sourceOf(speed);
    this.#altitude = altitude && sourceOf(altitude);
    this.#grade = grade && sourceOf(grade);
    this.#latitude = latitude && sourceOf(latitude);
    this.#longitude = longitude && sourceOf(longitude);
    this.#columns = new DriveColumns(file, altitude !== undefined, grade !== undefined);
    this.#positions = new PositionSpeeds((row, value) => this.#columns.setSpeed(row, value));
    const written = (value: number): string => this.#times?.written(value) ?? String(value);
    this.#check = strict ? new SampleCheck(roadKind(header), written) : undefined;
  }

  /** How many rows there were, good or bad. */
  get rows(): number {
    return this.#rows;
  }

  /** Takes a row. A good one leaves nothing behind but its numbers. */
  take(row: Row): void {
    this.#rows++;
    const extra = row.count - this.#width;
    // A delimiter at the end of every row is no cell more.
    if (extra !== 0 && !(extra === 1 && row.isEmpty(this.#width))) {
      this.#problems.add(row.line, cellCount(row, this.#width, this.#dialect));
      return;
    }
    const times = this.#times ?? this.#beginTimes(row);
    const time = times === undefined ? Number.NaN : times.read(row);
    const speed = this.#number(row, this.#speed);
    const altitude = this.#altitude === undefined ? Number.NaN : this.#number(row, this.#altitude);
    const grade = this.#grade === undefined ? Number.NaN : this.#number(row, this.#grade);
    if (this.#check === undefined) {
      if (Number.isNaN(time)) this.#noValue(row, this.#time);
      if (Number.isNaN(speed)) this.#noValue(row, this.#speed);
      if (Number.isNaN(altitude)) this.#noValue(row, this.#altitude);
      if (Number.isNaN(grade)) this.#noValue(row, this.#grade);
    } else {
      const road = this.#grade === undefined ? altitude : grade;
      const faults = this.#check.next(time, speed, road);
      if (faults.length > 0) this.#addFaults(row, faults);
    }
    if (this.#problems.isEmpty) this.#columns.add(row.line, time, speed, altitude, grade);
    if (this.#latitude !== undefined) this.#takePosition(row, time, this.#latitude);
  }

  #takePosition(row: Row, time: number, source: Source): void {
    const latitude = this.#number(row, source);
    const longitude = this.#number(row, this.#longitude);
    if (Number.isNaN(latitude)) this.#noValue(row, this.#latitude);
    if (Number.isNaN(longitude)) this.#noValue(row, this.#longitude);
    if (Math.abs(latitude) > MAX_LATITUDE) this.#addOutside(row, source, 90);
    if (Math.abs(longitude) > MAX_LONGITUDE) this.#addOutside(row, this.#longitude!, 360);
    if (!this.#problems.isEmpty) return;
    if (latitude === 0 && longitude === 0) this.#noFix++;
    else this.#positions.add(this.#columns.count - 1, time, latitude, longitude);
  }

  /** The number of a cell in SI; NaN where it is none, or where there is no such column. */
  #number(row: Row, source: Source | undefined): number {
    if (source === undefined) return Number.NaN;
    return row.number(source.index, this.#point) * source.factor;
  }

  #beginTimes(row: Row): TimeColumn | undefined {
    const { column, index, factor } = this.#time;
    const text = row.text(index);
    if (column.unit === undefined && isNoValue(text)) return undefined;
    const form = column.unit === undefined ? timeFormOf(text) : 'number';
    if (form === 'number' && column.unit === undefined) {
      const isFirst = this.#problems.isEmpty;
      this.#problems.add(
        isFirst ? this.#headerLine : row.line,
        missingTimeUnit(column.header, text, this.#dialect.columns.size > 0),
      );
      this.#problems.throwIfAny();
    }
    if (form !== 'number') this.#start = text;
    this.#times = new TimeColumn(form, index, factor, this.#point);
    return this.#times;
  }

  /** A cell has no number: either there is nothing in it, or something wrong. */
  #noValue(row: Row, source: Source | undefined): void {
    if (source === undefined) return;
    if (row.isEmpty(source.index) || isNoValue(row.text(source.index))) source.missing++;
    else this.#problems.add(row.line, this.#unreadable(row, source));
  }

  #addFaults(row: Row, faults: readonly SampleFault[]): void {
    for (const { quantity, ...fault } of faults) {
      const source = this.#source(quantity);
      const problem =
        fault.code === 'not-a-number'
          ? this.#unreadable(row, source)
          : { ...fault, path: source.column.header, found: row.text(source.index) };
      this.#problems.add(row.line, problem);
    }
  }

  #source(quantity: SampleFault['quantity']): Source {
    switch (quantity) {
      case 'time':
        return this.#time;
      case 'speed':
        return this.#speed!;
      case 'grade':
        return this.#grade!;
      case 'altitude':
        return this.#altitude!;
    }
  }

  #unreadable(row: Row, source: Source): Problem {
    const { header } = source.column;
    const found = row.text(source.index);
    const times = this.#times;
    if (source !== this.#time || times === undefined) {
      return notANumber(header, found, this.#dialect);
    }
    if (times.form === 'number') return notANumberOfTime(header, found, this.#dialect);
    return times.form === 'clock'
      ? notAClockTime(header, found)
      : notADateTime(header, found, times.lacksZone(row));
  }

  #addOutside(row: Row, { column, index }: Source, limit: number): void {
    this.#problems.add(row.line, outOfRange(column, row.text(index), limit));
  }

  /** The drive of all rows. */
  drive(name: string): Drive {
    this.#positions.breakOff();
    return this.#columns.drive(name, this.#latitude === undefined ? 'column' : 'positions');
  }

  /** What was found in the rows. */
  report(): {
    readonly columns: readonly UsedColumn[];
    readonly noFix: number;
    readonly start?: string;
  } {
    const sources = [
      this.#time,
      this.#speed,
      this.#grade,
      this.#altitude,
      this.#latitude,
      this.#longitude,
    ];
    const columns = sources
      .filter((source) => source !== undefined)
      .map(({ column, missing }) => ({
        quantity: column.quantity,
        header: column.header,
        unit: column.unit?.words ?? this.#unitless(column.quantity),
        missing,
      }));
    const start = this.#start === undefined ? {} : { start: this.#start };
    return { columns, noFix: this.#noFix, ...start };
  }

  #unitless(quantity: Quantity): string {
    if (quantity !== 'time') return 'degrees';
    return this.#times?.form === 'clock' ? 'h:mm:ss' : 'date with time and zone';
  }
}

function sourceOf(column: PlacedColumn): Source {
  const degrees = column.quantity === 'latitude' || column.quantity === 'longitude';
  const factor = column.unit?.factor ?? (degrees ? DEGREE : 1);
  return { column, index: column.index, factor, missing: 0 };
}

function roadKind({ columns }: Header): RoadSamples['kind'] {
  if (columns.grade !== undefined) return 'grade';
  return columns.altitude === undefined ? 'flat' : 'altitude';
}

/** Whether a cell holds nothing, or what logs write for nothing. */
export function isNoValue(text: string): boolean {
  return text === '' || NO_VALUE.has(text.toLowerCase());
}
