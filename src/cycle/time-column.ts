import { Instant } from './instant.ts';
import type { Row } from './row.ts';

/** How a column writes its times. */
export type TimeForm = 'number' | 'date-time' | 'clock';

const DATE = /^\d{4}-\d{1,2}-\d/;
const CLOCK = /^\d+:\d/;
const MILLISECONDS_PER_SECOND = 1000;

/** The form of a time in a column that names no unit; a date in a foreign form counts as a date. */
export function timeFormOf(text: string): TimeForm {
  if (CLOCK.test(text)) return 'clock';
  return /^[+-]?[\d.,]+(?:e[+-]?\d+)?$/i.test(text) && !DATE.test(text) ? 'number' : 'date-time';
}

/** The times of a column: numbers in one unit, or instants counted from the first one. */
export class TimeColumn {
  readonly form: TimeForm;
  readonly #index: number;
  readonly #factor: number;
  readonly #point: number;
  readonly #instant = new Instant();
  #hasFirst = false;
  #firstSeconds = 0;
  #firstNanos = 0;

  /**
   * @param form of the times
   * @param index of the column
   * @param factor [s] per unit, of numbers
   * @param point code of the decimal sign, of numbers
   */
  constructor(form: TimeForm, index: number, factor: number, point: number) {
    this.form = form;
    this.#index = index;
    this.#factor = factor;
    this.#point = point;
  }

  /** The time [s] of a row: as it stands, or since the first instant; NaN if it is none. */
  read(row: Row): number {
    if (this.form === 'number') return row.number(this.#index, this.#point) * this.#factor;
    const start = row.start(this.#index);
    const end = row.end(this.#index);
    const instant = this.#instant;
    const isRead =
      this.form === 'clock'
        ? instant.readClock(row.bytes, start, end)
        : instant.readDateTime(row.bytes, start, end) && instant.isZoned;
    if (!isRead) return Number.NaN;
    if (!this.#hasFirst) {
      this.#hasFirst = true;
      this.#firstSeconds = instant.seconds;
      this.#firstNanos = instant.nanos;
    }
    return instant.since(this.#firstSeconds, this.#firstNanos);
  }

  /** Whether a row has a date-time that lacks only its zone. */
  lacksZone(row: Row): boolean {
    const start = row.start(this.#index);
    const end = row.end(this.#index);
    return this.#instant.readDateTime(row.bytes, start, end) && !this.#instant.isZoned;
  }

  /** A time [s] as the column would write it, for messages. */
  written(time: number): string {
    switch (this.form) {
      case 'number':
        // The factor is no power of two: without rounding 1.001 s would be 1000.9999999999999 ms.
        return String(Number((time / this.#factor).toPrecision(15)));
      case 'clock':
        return `${time} s after the first row`;
      case 'date-time': {
        const since1970 = this.#firstSeconds + this.#firstNanos / 1e9 + time;
        return new Date(since1970 * MILLISECONDS_PER_SECOND).toISOString();
      }
    }
  }
}
