import { intervalDistance } from './trace.ts';

/**
 * The road under a trace: for each interval the height gained ∫ sin θ · v dt and the horizontal
 * distance ∫ cos θ · v dt, θ being the slope of the road and v the speed along it.
 */

/** What is known of the road at the samples of a trace. */
export type RoadSamples =
  | { readonly kind: 'flat' }
  /** tan θ [-] at each sample, linear in time between them. */
  | { readonly kind: 'grade'; readonly grade: Float64Array }
  /** Altitude [m] at each sample, constant slope between them. */
  | { readonly kind: 'altitude'; readonly altitude: Float64Array };

/** The road of n intervals. */
export interface RoadIntegrals {
  /** n heights gained [m]. */
  readonly climb: Float64Array;
  /** n horizontal distances [m]. */
  readonly level: Float64Array;
}

/**
 * Altitude [m] that a standing car may seem to gain or lose before that is an error in the data:
 * the resolution of a good barometer. A choice of this project, no source.
 */
export const STANDING_DRIFT_M = 0.05;

// Three-point Gauss-Legendre rule on 0 … 1, exact for polynomials of degree 5 (elementary; any
// book of numerical analysis). sin θ · v is no polynomial, but for a grade that changes by some
// per cent in an interval the rule is exact to the rounding of a double.
const GAUSS_OFFSET = Math.sqrt(0.15);
const GAUSS_OUTER_WEIGHT = 5 / 18;
const GAUSS_MIDDLE_WEIGHT = 8 / 18;

/**
 * Climb and level of every interval.
 *
 * @param time n + 1 instants [s], strictly increasing
 * @param speed n + 1 speeds [m/s], linear in time between the samples
 * @param road what is known of the road at the same samples
 * @returns n heights gained and n horizontal distances [m]
 */
export function roadIntegrals(
  time: Float64Array,
  speed: Float64Array,
  road: RoadSamples,
): RoadIntegrals {
  switch (road.kind) {
    case 'flat':
      return flatRoad(time, speed);
    case 'grade':
      return roadFromGrade(time, speed, road.grade);
    case 'altitude':
      return roadFromAltitude(time, speed, road.altitude);
  }
}

function flatRoad(time: Float64Array, speed: Float64Array): RoadIntegrals {
  const n = time.length - 1;
  const level = new Float64Array(n);
  for (let k = 0; k < n; k++) level[k] = intervalDistance(time, speed, k);
  return { climb: new Float64Array(n), level };
}

function roadFromGrade(
  time: Float64Array,
  speed: Float64Array,
  grade: Float64Array,
): RoadIntegrals {
  const n = time.length - 1;
  const climb = new Float64Array(n);
  const level = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    const step = time[k + 1]! - time[k]!;
    for (let point = -1; point <= 1; point++) {
      const share = 0.5 + point * GAUSS_OFFSET;
      const weight = point === 0 ? GAUSS_MIDDLE_WEIGHT : GAUSS_OUTER_WEIGHT;
      const tangent = grade[k]! + share * (grade[k + 1]! - grade[k]!);
      const v = speed[k]! + share * (speed[k + 1]! - speed[k]!);
      const horizontal = (weight * step * v) / Math.sqrt(1 + tangent * tangent);
      level[k]! += horizontal;
      climb[k]! += tangent * horizontal;
    }
  }
  return { climb, level };
}

/**
 * A standing car keeps the altitude at which it stopped; what the altitude drifts meanwhile (no
 * more than STANDING_DRIFT_M, else the samples are refused) is climbed when it moves off, so that
 * heights add up and no work is done on a car at rest.
 */
function roadFromAltitude(
  time: Float64Array,
  speed: Float64Array,
  altitude: Float64Array,
): RoadIntegrals {
  const n = time.length - 1;
  const climb = new Float64Array(n);
  const level = new Float64Array(n);
  let reached = altitude[0]!;
  for (let k = 0; k < n; k++) {
    const distance = intervalDistance(time, speed, k);
    if (distance === 0) continue;
    const rise = altitude[k + 1]! - reached;
    climb[k] = rise;
    level[k] = Math.sqrt(distance * distance - rise * rise);
    reached = altitude[k + 1]!;
  }
  return { climb, level };
}
