/** Median of the absolute value of a normal variable, over its standard deviation. */
const MEDIAN_OF_NORMAL = 0.6745;
/** Standard deviation of a second difference of white noise, over that of the noise. */
const SECOND_DIFFERENCE = Math.sqrt(6);

/**
 * Standard deviation of the noise on a smooth signal, from its second differences; their median is
 * not moved by single steps and outliers.
 * @param values at about even instants
 * @returns in the unit of the values
 */
export function noiseOf(values: ArrayLike<number>): number {
  const count = values.length - 2;
  if (count < 1) return 0;
  const bends = Float64Array.from({ length: count }, (_, i) =>
    Math.abs(values[i]! - 2 * values[i + 1]! + values[i + 2]!),
  ).sort();
  return bends[count >> 1]! / (MEDIAN_OF_NORMAL * SECOND_DIFFERENCE);
}

/**
 * The greatest rise from any value to any later one.
 * @returns its height and the two places; a height of 0 where the values only fall
 */
export function greatestRise(values: ArrayLike<number>): {
  readonly height: number;
  readonly from: number;
  readonly to: number;
} {
  let lowest = 0;
  let best = { height: 0, from: 0, to: 0 };
  for (let i = 1; i < values.length; i++) {
    const height = values[i]! - values[lowest]!;
    if (height > best.height) best = { height, from: lowest, to: i };
    if (height < 0) lowest = i;
  }
  return best;
}
