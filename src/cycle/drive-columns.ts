import { InputError } from '../config/problem.ts';
import type { Drive } from './drive.ts';

/** Rows that there is room for at first: most cycles fit, and it is little for any other. */
const FIRST_ROOM = 512;
/** Columns with more rows are handed over as they lie, not copied to their exact size. */
const LARGE = 1 << 17;

/**
 * The columns of a drive while they grow. Their room doubles when it is used up; memory that no row
 * has touched yet is only set aside by the system, not used.
 */
export class DriveColumns {
  readonly #file: string;
  #room = FIRST_ROOM;
  #count = 0;
  #time = new Float64Array(FIRST_ROOM);
  #speed = new Float64Array(FIRST_ROOM);
  #altitude: Float64Array<ArrayBuffer> | undefined;
  #grade: Float64Array<ArrayBuffer> | undefined;
  #line = new Uint32Array(FIRST_ROOM);

  /**
   * @param file for messages
   * @param hasAltitude whether there is a column of altitude
   * @param hasGrade whether there is a column of grade
   */
  constructor(file: string, hasAltitude: boolean, hasGrade: boolean) {
    this.#file = file;
    if (hasAltitude) this.#altitude = new Float64Array(FIRST_ROOM);
    if (hasGrade) this.#grade = new Float64Array(FIRST_ROOM);
  }

  /** Number of rows. */
  get count(): number {
    return this.#count;
  }

  /** Adds a row, in SI; NaN for what it does not have. */
  add(line: number, time: number, speed: number, altitude: number, grade: number): void {
    const k = this.#count;
    if (k === this.#room) this.#grow(line);
    this.#time[k] = time;
    this.#speed[k] = speed;
    if (this.#altitude !== undefined) this.#altitude[k] = altitude;
    if (this.#grade !== undefined) this.#grade[k] = grade;
    this.#line[k] = line;
    this.#count = k + 1;
  }

  /** Sets the speed [m/s] of a row that is there already. */
  setSpeed(row: number, speed: number): void {
    this.#speed[row] = speed;
  }

  #grow(line: number): void {
    this.#room *= 2;
    try {
      this.#time = wider(this.#time, this.#room);
      this.#speed = wider(this.#speed, this.#room);
      if (this.#altitude !== undefined) this.#altitude = wider(this.#altitude, this.#room);
      if (this.#grade !== undefined) this.#grade = wider(this.#grade, this.#room);
      const lines = new Uint32Array(this.#room);
      lines.set(this.#line);
      this.#line = lines;
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      throw new InputError([
        {
          code: 'too-many-rows',
          file: this.#file,
          line,
          found: `more than ${this.#count} rows`,
          expected: 'a drive that fits into memory',
          hint: 'split the log, or take fewer samples a second',
        },
      ]);
    }
  }

  /** The drive with the rows so far. */
  drive(name: string, speedFrom: Drive['speedFrom']): Drive {
    const exact = (column: Float64Array<ArrayBuffer>): Float64Array =>
      this.#count > LARGE ? column.subarray(0, this.#count) : column.slice(0, this.#count);
    return {
      name,
      time: exact(this.#time),
      speed: exact(this.#speed),
      speedFrom,
      ...(this.#altitude === undefined ? {} : { altitude: exact(this.#altitude) }),
      ...(this.#grade === undefined ? {} : { grade: exact(this.#grade) }),
      line:
        this.#count > LARGE
          ? this.#line.subarray(0, this.#count)
          : this.#line.slice(0, this.#count),
    };
  }
}

function wider(column: Float64Array<ArrayBuffer>, room: number): Float64Array<ArrayBuffer> {
  const grown = new Float64Array(room);
  grown.set(column);
  return grown;
}
