import { inverse, Matrix } from 'ml-matrix';
import { GRAVITY } from '../physics/air.ts';
import { correlations, type Estimate, estimate } from './intervals.ts';
import { type Fit, leastSquares } from './least-squares.ts';
import { type Slowing, speedAfter } from './slowing.ts';

/** One run of a coastdown: times from its first sample [s] and speeds [m/s]. */
export interface CoastRun {
  readonly time: ArrayLike<number>;
  readonly speed: ArrayLike<number>;
}

/** Two runs over the same road in opposite directions. */
export interface CoastPair {
  readonly there: CoastRun;
  readonly back: CoastRun;
}

/** What rolls. */
export interface RollingMass {
  /** Mass as weighed, with people and instruments [kg] */
  readonly mass: number;
  /** Equivalent mass of wheels and what turns with them [kg] */
  readonly rotatingMass: number;
}

/** What one pair says by itself. */
export interface PairFit {
  /** F0 [N], F1 [N/(m/s)], F2 [N/(m/s)²] */
  readonly force: readonly [Estimate, Estimate, Estimate];
  /** Wind along the road, against the car on its way there [m/s] */
  readonly wind: Estimate;
  /** Slope of the road, up on the way there [tan θ, small] */
  readonly slope: Estimate;
  /** Standard deviation of the residuals [m/s] */
  readonly deviation: number;
  /** Correlation of each residual with the next */
  readonly lagCorrelation: number;
  /** Fitted speeds of both runs [m/s] */
  readonly there: Float64Array;
  readonly back: Float64Array;
}

/** Road load from coastdown runs. */
export interface Coastdown {
  /** F0 [N], F1 [N/(m/s)], F2 [N/(m/s)²] on the flat, in calm air */
  readonly force: readonly [Estimate, Estimate, Estimate];
  /** Covariance of F0, F1 and F2 */
  readonly covariance: readonly (readonly number[])[];
  /** Their correlation with each other */
  readonly correlation: readonly (readonly number[])[];
  /** Where the intervals come from: scatter among the pairs, or the residuals of the only pair. */
  readonly basis: 'pairs' | 'residuals';
  /** Degrees of freedom of the intervals */
  readonly degrees: number;
  /**
   * How much the pairs scatter over what their residuals explain (Birge's ratio); 1 if that is all,
   * undefined for one pair.
   */
  readonly scatter: number | undefined;
  readonly pairs: readonly PairFit[];
}

/** Usual forces of a car of this mass, to start from and to scale with. */
const USUAL_MASS = 1500;
const USUAL_ROLLING = 0.012;
const USUAL_SQUARE = 0.4;
const FORCES = 3;

/**
 * Fits F = F0 + F1 v + F2 v² to pairs of coastdown runs. Each pair is fitted on its own, by least
 * squares of the measured speeds against the exact solution of
 *
 *   M_e dv/dt = −(F0 ± m g s + F1 v + F2 (v ± w)²)
 *
 * with a slope s and a wind w along the road that help in one direction as they hinder in the other,
 * and a speed at the start of each run. So a constant slope and wind leave nothing behind, not even
 * F2 w². The pairs are put together by their weighted mean. Their scatter about it, beyond what the
 * residuals within them explain (Birge's ratio, applied whether above or below 1), makes the
 * confidence intervals: gusts, temperature and the driver's line differ from pair to pair, and no
 * residual within a run knows of that. A single pair has only its residuals.
 *
 * @param pairs one at least
 * @param mass that rolls
 * @throws NoFit where the runs do not tell the coefficients apart
 */
export function fitCoastdown(pairs: readonly CoastPair[], mass: RollingMass): Coastdown {
  const fits = pairs.map((pair) => fitPair(pair, mass));
  const own = fits.map(({ shown }) => shown);
  const only = fits[0]!.fit;
  if (fits.length === 1) {
    const covariance = block(only.covariance, only.inflation);
    return {
      force: own[0]!.force,
      covariance,
      correlation: correlations(covariance),
      basis: 'residuals',
      degrees: only.degrees,
      scatter: undefined,
      pairs: own,
    };
  }
  const weights = fits.map(({ fit }) => inverse(new Matrix(block(fit.covariance))));
  const values = fits.map(({ fit }) => Matrix.columnVector(fit.parameters.slice(0, FORCES)));
  const total = weights.reduce((sum, weight) => Matrix.add(sum, weight));
  const unscaled = inverse(total);
  const mean = unscaled.mmul(
    weights.map((weight, p) => weight.mmul(values[p]!)).reduce((sum, one) => Matrix.add(sum, one)),
  );
  const squares = weights.reduce((sum, weight, p) => {
    const off = Matrix.sub(values[p]!, mean);
    return sum + off.transpose().mmul(weight).mmul(off).get(0, 0);
  }, 0);
  const degrees = FORCES * (fits.length - 1);
  const ratio = squares / degrees;
  const covariance = unscaled.mul(ratio).to2DArray();
  return {
    force: threeEstimates(mean.to1DArray(), covariance, degrees),
    covariance,
    correlation: correlations(covariance),
    basis: 'pairs',
    degrees,
    scatter: Math.sqrt(ratio),
    pairs: own,
  };
}

/**
 * Road load at a speed, whose interval is far narrower than those of its three coefficients suggest,
 * since they vary together.
 * @param coastdown
 * @param speed [m/s]
 * @returns [N]
 */
export function forceAt({ force, covariance, degrees }: Coastdown, speed: number): Estimate {
  const powers = [1, speed, speed * speed];
  const value = powers.reduce((sum, power, k) => sum + power * force[k]!.value, 0);
  const variance = powers.reduce(
    (sum, a, i) => sum + powers.reduce((inner, b, j) => inner + a * b * covariance[i]![j]!, 0),
    0,
  );
  return estimate(value, variance, degrees);
}

function fitPair(
  { there, back }: CoastPair,
  { mass, rotatingMass }: RollingMass,
): { readonly fit: Fit; readonly shown: PairFit } {
  const effective = mass + rotatingMass;
  const weight = mass * GRAVITY;
  const size = mass / USUAL_MASS;
  const law = (p: readonly number[], way: 1 | -1): Slowing => {
    const [f0, f1, f2, wind, slope] = p as [number, number, number, number, number];
    return {
      a: (f0 + way * slope * weight + f2 * wind * wind) / effective,
      b: (f1 + way * 2 * f2 * wind) / effective,
      c: f2 / effective,
    };
  };
  const firstBack = there.time.length;
  const count = firstBack + back.time.length;
  const fitted = new Float64Array(count);
  const model = (p: readonly number[]) => {
    fill(fitted, 0, there, law(p, 1), p[5]!);
    fill(fitted, firstBack, back, law(p, -1), p[6]!);
    return fitted.slice();
  };
  const observed = Float64Array.from([...Array.from(there.speed), ...Array.from(back.speed)]);
  const fit = leastSquares({
    observed,
    model,
    start: [USUAL_ROLLING * weight, 0, USUAL_SQUARE * size, 0, 0, there.speed[0]!, back.speed[0]!],
    scale: [USUAL_ROLLING * weight, size, USUAL_SQUARE * size, 1, 0.01, 10, 10],
    breaks: [firstBack],
  });
  const speeds = model(fit.parameters);
  const of = (k: number) =>
    estimate(fit.parameters[k]!, fit.inflation * fit.covariance[k]![k]!, fit.degrees);
  const shown = {
    force: [of(0), of(1), of(2)] as const,
    wind: of(3),
    slope: of(4),
    deviation: fit.deviation,
    lagCorrelation: fit.lagCorrelation,
    there: speeds.subarray(0, firstBack),
    back: speeds.subarray(firstBack),
  };
  return { fit, shown };
}

function fill(
  speeds: Float64Array,
  at: number,
  { time }: CoastRun,
  law: Slowing,
  start: number,
): void {
  for (let i = 0; i < time.length; i++) speeds[at + i] = speedAfter(law, start, time[i]!);
}

/** The part of a covariance that is about F0, F1 and F2. */
function block(covariance: Fit['covariance'], factor = 1): number[][] {
  return covariance
    .slice(0, FORCES)
    .map((row) => row.slice(0, FORCES).map((value) => factor * value));
}

function threeEstimates(
  values: readonly number[],
  covariance: readonly (readonly number[])[],
  degrees: number,
): [Estimate, Estimate, Estimate] {
  const of = (k: number) => estimate(values[k]!, covariance[k]![k]!, degrees);
  return [of(0), of(1), of(2)];
}
