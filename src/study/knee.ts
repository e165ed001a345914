/** A value of the number that is varied, and the saving there. */
export interface CurvePoint {
  readonly value: number;
  readonly saving_pct: number;
}

/** Where more store brings less, or why that cannot be said. */
export type Knee =
  | {
      readonly kind: 'knee';
      readonly at: CurvePoint;
      /** Height over the chord of the normalised curve, 0 to 1: how sharp the bend is. */
      readonly height: number;
      /** Point of the highest saving: the end of the range, or before it if the saving falls again. */
      readonly top: CurvePoint;
    }
  | {
      /** Rising about evenly up to a highest saving within the range, falling from there on. */
      readonly kind: 'peak';
      readonly at: CurvePoint;
    }
  | { readonly kind: 'none'; readonly reason: NoKnee };

/**
 * `few_points`: fewer than four values; `flat`: the saving hardly changes; `falling`: the least is
 * the best; `rising`: it still rises at the end of the range, which has to be wider.
 */
export type NoKnee = 'few_points' | 'flat' | 'falling' | 'rising';

/** Fewer points show no bend. */
const FEWEST = 4;
/** Savings that differ by less are the same [percentage points]. */
const FLAT = 0.05;
/**
 * A curve lower than this over its chord is about straight. One that approaches its end value
 * exponentially, with a range as long as the constant of that, is 0.123 high.
 */
const STRAIGHT = 0.1;
/**
 * The last step may be so steep, over the mean slope of the whole range. Where it is steeper a wider
 * range would move the knee far: the same exponential curve has 0.58, with twice the range 0.31.
 */
const STEEP = 0.5;

/**
 * Finds where more of a number brings less: the point of the curve that lies highest over the chord
 * from its first point to its highest one, both axes scaled to 0 … 1. There the slope falls below the
 * mean slope of the range.
 *
 * The point of greatest distance from the chord as a knee is after V. Satopaa, J. Albrecht, D. Irwin,
 * B. Raghavan, "Finding a 'Kneedle' in a Haystack", ICDCS Workshops 2011 (from memory, not
 * verified); its smoothing and its sensitivity are left out, since the points are computed, not
 * measured. When a curve has no knee is said by the bounds above, which are chosen here.
 *
 * Worked example: savings 0, 6, 8, 9, 9.5 at 0, 1, 2, 3, 4 scale to 0, 0.63, 0.84, 0.95, 1 over
 * 0, 0.25, 0.5, 0.75, 1; they lie 0.38, 0.34, 0.20 over the chord, so the knee is at 1.
 *
 * @param points by rising value, each value once
 */
export function findKnee(points: readonly CurvePoint[]): Knee {
  if (points.length < FEWEST) return { kind: 'none', reason: 'few_points' };
  const savings = points.map(({ saving_pct }) => saving_pct);
  const most = savings.reduce((high, saving) => Math.max(high, saving));
  const least = savings.reduce((low, saving) => Math.min(low, saving));
  if (most - least < FLAT) return { kind: 'none', reason: 'flat' };
  const last = savings.indexOf(most);
  if (last === 0) return { kind: 'none', reason: 'falling' };
  const [first, top] = [points[0]!, points[last]!];
  const width = top.value - first.value;
  const rise = top.saving_pct - first.saving_pct;
  const over = (point: CurvePoint) =>
    (point.saving_pct - first.saving_pct) / rise - (point.value - first.value) / width;
  const rising = points.slice(0, last + 1);
  const at = rising.reduce((high, point) => (over(point) > over(high) ? point : high));
  const isWithin = last < points.length - 1;
  if (over(at) < STRAIGHT) {
    return isWithin ? { kind: 'peak', at: top } : { kind: 'none', reason: 'rising' };
  }
  const before = points[last - 1]!;
  const lastStep = (top.saving_pct - before.saving_pct) / (top.value - before.value);
  if (!isWithin && lastStep > (STEEP * rise) / width) return { kind: 'none', reason: 'rising' };
  return { kind: 'knee', at, height: over(at), top };
}
