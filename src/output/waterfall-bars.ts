/** Steps of a scale: the sizes that one character of a bar may stand for, times a power of ten. */
const ROUND = [1, 2, 5];

/** A bar chart of text whose bars lie on both sides of a zero line. */
export interface Bars {
  /** What one character stands for, a round number; 0 where all values are 0 */
  readonly scale: number;
  /** A bar for each value; all of the same width but for blanks at the end */
  readonly bars: readonly string[];
}

/**
 * Bars of `+` to the right of a zero line and of `-` to the left of it.
 * @param values of the bars; null has none
 * @param width most characters of a line, the zero line with them
 */
export function barsOf(values: readonly (number | null)[], width: number): Bars {
  const known = values.map((value) => value ?? 0);
  const high = Math.max(0, ...known);
  const low = Math.min(0, ...known);
  const scale = scaleOf(high, -low, width - 1);
  const length = (value: number) => (scale > 0 ? Math.round(value / scale) : 0);
  const left = length(-low);
  const bars = known.map((value) => {
    const minus = '-'.repeat(Math.max(0, length(-value)));
    const plus = '+'.repeat(Math.max(0, length(value)));
    return `${minus.padStart(left)}|${plus}`;
  });
  return { scale, bars };
}

/** The smallest round number at which both sides fit. */
function scaleOf(high: number, low: number, cells: number): number {
  const fits = (scale: number) => Math.round(high / scale) + Math.round(low / scale) <= cells;
  const span = high + low;
  if (span === 0) return 0;
  // A rounding up on each side may need two more cells than there are, at most twice the size.
  const power = 10 ** Math.floor(Math.log10(span / cells));
  const sizes = [1, 10, 100].flatMap((ten) => ROUND.map((size) => size * ten * power));
  return sizes.find(fits)!;
}
