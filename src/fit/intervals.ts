import jstat from 'jstat';

/** Probability that the true value lies within a stated interval. */
export const CONFIDENCE = 0.95;

/** Above so many degrees of freedom Student's t is the normal distribution to six digits. */
const MOST_DEGREES = 1e6;

/** An estimate with its confidence interval, `value ± halfWidth`. */
export interface Estimate {
  readonly value: number;
  /** Half the width of the interval, in the unit of the value */
  readonly halfWidth: number;
}

/**
 * Half the width of a confidence interval in standard deviations: Student's t.
 * @param degrees of freedom, 1 at least
 * @returns 12.706 for 1, 2.179 for 12, 1.960 for very many
 */
export function coverageFactor(degrees: number): number {
  return jstat.jStat.studentt.inv(0.5 * (1 + CONFIDENCE), Math.min(degrees, MOST_DEGREES));
}

/**
 * An estimate with its interval.
 * @param value
 * @param variance of the value
 * @param degrees of freedom that the variance was estimated with
 */
export function estimate(value: number, variance: number, degrees: number): Estimate {
  return { value, halfWidth: coverageFactor(degrees) * Math.sqrt(variance) };
}

/** Whether a value lies within an interval. */
export function covers({ value, halfWidth }: Estimate, truth: number): boolean {
  return Math.abs(value - truth) <= halfWidth;
}

/**
 * Correlation coefficients of a covariance matrix.
 * @param covariance square
 * @returns square, with 1 on its diagonal
 */
export function correlations(covariance: readonly (readonly number[])[]): number[][] {
  return covariance.map((row, i) =>
    row.map((value, j) =>
      i === j ? 1 : value / Math.sqrt(covariance[i]![i]! * covariance[j]![j]!),
    ),
  );
}
