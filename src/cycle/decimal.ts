import { parseNumber } from '../config/number.ts';
import { decode } from './utf8.ts';

const BLANK = 32;
const ZERO = 48;
const MINUS = 45;
const PLUS = 43;
const COMMA = 44;

/** So many digits make a whole number that a double holds exactly. */
const EXACT_DIGITS = 15;
/** 10^k, each of them exact in a double. */
const POWERS_OF_TEN = Float64Array.from({ length: EXACT_DIGITS + 1 }, (_, k) => Number(`1e${k}`));

/**
 * Reads one decimal number straight from the bytes of a text, the same to the last bit as
 * `parseNumber` of the characters. A number of up to 15 digits without an exponent is a whole number
 * over a power of ten, both exact in a double, so that their quotient is rounded once, as it should
 * be. Whatever else there is goes the long way.
 *
 * @param bytes UTF-8
 * @param start of the number, blanks around it included
 * @param end one past it
 * @param point code of the decimal sign: that of `.` or `,`
 * @returns the number, NaN where the bytes are none
 */
export function decimalIn(bytes: Uint8Array, start: number, end: number, point: number): number {
  let at = start;
  while (at < end && bytes[at] === BLANK) at++;
  const sign = at < end ? bytes[at] : BLANK;
  if (sign === MINUS || sign === PLUS) at++;
  let whole = 0;
  let digits = 0;
  let decimals = -1;
  for (; at < end; at++) {
    const byte = bytes[at]!;
    const digit = byte - ZERO;
    if (digit >= 0 && digit <= 9) {
      whole = whole * 10 + digit;
      digits++;
      if (decimals >= 0) decimals++;
    } else if (byte === point && decimals < 0) {
      decimals = 0;
    } else {
      return longWay(bytes, start, end, point);
    }
  }
  if (digits === 0) return Number.NaN;
  if (digits > EXACT_DIGITS) return longWay(bytes, start, end, point);
  const value = decimals > 0 ? whole / POWERS_OF_TEN[decimals]! : whole;
  return sign === MINUS ? -value : value;
}

function longWay(bytes: Uint8Array, start: number, end: number, point: number): number {
  const text = decode(bytes, start, end);
  if (point !== COMMA) return parseNumber(text) ?? Number.NaN;
  if (text.includes('.')) return Number.NaN;
  return parseNumber(text.replace(',', '.')) ?? Number.NaN;
}
