import type { Point } from '../optimum/merit.ts';
import type { NumberPath } from '../study/number-path.ts';

/** A number that is tuned. */
export interface TunedNumber {
  readonly path: NumberPath;
  readonly from: number;
  readonly to: number;
  readonly scale: 'linear' | 'logarithmic';
  /** What its file has, or the default where it has none. */
  readonly start: number;
}

/** Steps of the range, of which a value is one, at least; so that files get numbers for people. */
const STEPS = 1000;
/** Digits of a value on a logarithmic scale. */
const DIGITS = 4;
/** A value within this share of the range counts as standing at its bound. */
const AT_BOUND = 0.005;

/** Smallest step between bounds that may make another value, as a share of the range. */
export const FINEST_STEP = 1 / (2 * STEPS);

/** Where a value stands between its bounds, from 0 to 1. */
export function shareOf({ from, to, scale }: TunedNumber, value: number): number {
  return scale === 'linear'
    ? (value - from) / (to - from)
    : Math.log(value / from) / Math.log(to / from);
}

/** The value at a share of the range, as it is written into a file. */
export function valueAtShare(number: TunedNumber, share: number): number {
  const { from, to, scale, start } = number;
  // Rounding would make another value of the one that the file has.
  if (share === shareOf(number, start)) return start;
  if (share <= 0) return from;
  if (share >= 1) return to;
  const value = scale === 'linear' ? from + share * (to - from) : from * (to / from) ** share;
  const written =
    scale === 'linear' ? stepped(value, to - from) : Number(value.toPrecision(DIGITS));
  return Math.min(to, Math.max(from, written));
}

/** The values at a point of the search. */
export function valuesAt(numbers: readonly TunedNumber[], point: Point): number[] {
  return numbers.map((number, k) => valueAtShare(number, point[k]!));
}

/** The bound that a value stands at; null if it stands at none. */
export function boundAt(number: TunedNumber, value: number): 'from' | 'to' | null {
  const share = shareOf(number, value);
  if (share <= AT_BOUND) return 'from';
  return share >= 1 - AT_BOUND ? 'to' : null;
}

/** A whole multiple of a power of ten that goes into the range a thousand times or more. */
function stepped(value: number, range: number): number {
  const exponent = Math.floor(Math.log10(range / STEPS));
  if (exponent >= 0) return Math.round(value / 10 ** exponent) * 10 ** exponent;
  return Number(value.toFixed(-exponent));
}
