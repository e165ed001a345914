/**
 * Percentile with linear interpolation between the sorted values: the smallest is the 0th, the
 * largest the 100th, the others lie evenly between.
 *
 * @param sorted values in rising order
 * @param share of the values that lie below, 0 … 1
 * @returns the percentile; NaN without values. Of 0, 1, 1.5 and 2 the 95th is 1.925
 */
export function percentile(sorted: Float64Array, share: number): number {
  const place = share * (sorted.length - 1);
  const below = Math.floor(place);
  const lower = sorted[below];
  if (lower === undefined) return Number.NaN;
  const upper = sorted[below + 1] ?? lower;
  return lower + (place - below) * (upper - lower);
}
