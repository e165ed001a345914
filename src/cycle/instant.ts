import { HOUR, MINUTE } from '../config/units.ts';

const POINT = 46;
const COMMA = 44;
const COLON = 58;
const MINUS = 45;
const PLUS = 43;
const BLANK = 32;
const NUL = 0;
const ZERO = 48;
/** Bit that tells a small Latin letter from its capital. */
const SMALL = 32;
const SMALL_T = 116;
const SMALL_Z = 122;

const NANOS = 1e9;
const NANO_DIGITS = 9;
/** Years before this are no log of a drive, and `Date` takes some of them for others. */
const FIRST_YEAR = 1900;
const DAYS = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/**
 * An instant written as a date with a time (ISO 8601, extended form) or as hh:mm:ss, in whole seconds
 * and nanoseconds, so that differences of instants lose nothing. One object reads many instants.
 */
export class Instant {
  /** Whole seconds since 1970-01-01T00:00:00Z, or since 0:00:00. */
  seconds = 0;
  /** Nanoseconds besides; further decimals are dropped. */
  nanos = 0;
  /** Whether the date-time that was read last says its zone. */
  isZoned = false;

  #bytes: Uint8Array = new Uint8Array(0);
  #at = 0;
  #end = 0;

  /**
   * Reads `2024-05-01T08:00:00.25+02:00`: a blank may stand for the T, seconds and their decimals
   * may be left out, the zone is `Z`, `+02:00`, `+0200` or `+02`.
   *
   * @returns whether that is what stands there; without a zone it is, but `isZoned` is false and the
   *   seconds are those of UTC
   */
  readDateTime(bytes: Uint8Array, start: number, end: number): boolean {
    this.#begin(bytes, start, end);
    const year = this.#digits(4);
    if (year < FIRST_YEAR || !this.#take(MINUS)) return false;
    const month = this.#digits(2);
    if (month < 1 || month > 12 || !this.#take(MINUS)) return false;
    const day = this.#digits(2);
    if (day < 1 || day > DAYS[month - 1]! || (day === 29 && month === 2 && !isLeap(year))) {
      return false;
    }
    if (!this.#takeLetter(SMALL_T) && !this.#take(BLANK)) return false;
    const hour = this.#digits(2);
    if (hour < 0 || hour > 23 || !this.#take(COLON)) return false;
    const minute = this.#digits(2);
    if (minute < 0 || minute >= MINUTE) return false;
    let second = 0;
    this.nanos = 0;
    if (this.#take(COLON)) {
      second = this.#digits(2);
      // 60 is a leap second, and falls together with the first second of the next minute.
      if (second < 0 || second > 60 || !this.#readDecimals()) return false;
    }
    const offset = this.#zone();
    if (Number.isNaN(offset) || this.#at !== this.#end) return false;
    this.seconds = Date.UTC(year, month - 1, day, hour, minute, second) / 1000 - offset;
    return true;
  }

  /** Reads `h:mm:ss` or `h:mm`, with decimals of the second and any number of hours. */
  readClock(bytes: Uint8Array, start: number, end: number): boolean {
    this.#begin(bytes, start, end);
    let hour = this.#digits(1);
    if (hour < 0) return false;
    for (let digit = this.#digits(1); digit >= 0 && hour < 1e5; digit = this.#digits(1)) {
      hour = hour * 10 + digit;
    }
    if (!this.#take(COLON)) return false;
    const minute = this.#digits(2);
    if (minute < 0 || minute >= MINUTE) return false;
    let second = 0;
    this.nanos = 0;
    if (this.#take(COLON)) {
      second = this.#digits(2);
      if (second < 0 || second >= MINUTE || !this.#readDecimals()) return false;
    }
    this.seconds = hour * HOUR + minute * MINUTE + second;
    return this.#at === this.#end;
  }

  /** Time from another instant to this one [s]. */
  since(seconds: number, nanos: number): number {
    return ((this.seconds - seconds) * NANOS + (this.nanos - nanos)) / NANOS;
  }

  #begin(bytes: Uint8Array, start: number, end: number): void {
    this.#bytes = bytes;
    this.#at = start;
    this.#end = end;
  }

  #byte(): number {
    return this.#at < this.#end ? this.#bytes[this.#at]! : NUL;
  }

  #take(byte: number): boolean {
    if (this.#byte() !== byte) return false;
    this.#at++;
    return true;
  }

  #takeLetter(small: number): boolean {
    if ((this.#byte() | SMALL) !== small) return false;
    this.#at++;
    return true;
  }

  /** A number of so many digits, -1 if there are fewer. */
  #digits(count: number): number {
    let value = 0;
    for (let k = 0; k < count; k++) {
      const digit = this.#byte() - ZERO;
      if (digit < 0 || digit > 9) return -1;
      value = value * 10 + digit;
      this.#at++;
    }
    return value;
  }

  /** Decimals of the second, if there are any. */
  #readDecimals(): boolean {
    if (!this.#take(POINT) && !this.#take(COMMA)) return true;
    let weight = 10 ** (NANO_DIGITS - 1);
    let digit = this.#digits(1);
    if (digit < 0) return false;
    for (; digit >= 0; digit = this.#digits(1)) {
      if (weight >= 1) this.nanos += digit * weight;
      weight /= 10;
    }
    return true;
  }

  /** Offset of the zone from UTC [s], 0 without one, NaN if it is none. */
  #zone(): number {
    this.isZoned = true;
    if (this.#takeLetter(SMALL_Z)) return 0;
    const sign = this.#take(PLUS) ? 1 : this.#take(MINUS) ? -1 : 0;
    if (sign === 0) {
      this.isZoned = false;
      return 0;
    }
    const hour = this.#digits(2);
    const hasMinutes = this.#take(COLON) || this.#at < this.#end;
    const minute = hasMinutes ? this.#digits(2) : 0;
    if (hour < 0 || hour > 23 || minute < 0 || minute >= MINUTE) return Number.NaN;
    return sign * (hour * HOUR + minute * MINUTE);
  }
}

function isLeap(year: number): boolean {
  return year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
}
