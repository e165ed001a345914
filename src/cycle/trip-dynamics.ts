import { KMH } from '../config/units.ts';
import { atEvenInstants, type Motion } from './motion.ts';
import { percentile } from './percentile.ts';

/**
 * Trip dynamics as the EU real-driving rules define them (Commission Regulation (EU) 2016/646,
 * Appendix 7a): the relative positive acceleration and the 95th percentile of speed times positive
 * acceleration, for urban, rural and motorway speeds, each with its limit. All of it from memory,
 * not re-read: use it to see whether a drive is ordinary, not to certify one.
 *
 * The definitions count samples at 1 Hz, with central differences for the acceleration and none at
 * the first and last sample. A drive that is sampled otherwise is read at whole seconds from its
 * start, its speed being linear between the samples; so a finer sampling of the same drive changes
 * nothing. The rules also smooth a speed that is resolved too coarsely; here that is a matter of
 * cleaning the log beforehand.
 */

/** Accelerations up to this count for nothing [m/s²]. */
export const POSITIVE_ABOVE = 0.1;
/** [s] */
const SECOND = 1;
/** The rules want so many samples with a positive acceleration in a bin (100 in their later text). */
export const SAMPLES_WANTED = 150;

/** The speeds of a bin: above the first limit, up to the second [m/s]. */
export const SPEED_BINS = [
  { name: 'urban', above: Number.NEGATIVE_INFINITY, upTo: 60 * KMH },
  { name: 'rural', above: 60 * KMH, upTo: 90 * KMH },
  { name: 'motorway', above: 90 * KMH, upTo: Number.POSITIVE_INFINITY },
] as const;

/** Name of a speed bin. */
export type SpeedBinName = (typeof SPEED_BINS)[number]['name'];

/** Dynamics of a set of samples at 1 Hz. What has no samples to come from is NaN. */
export interface Dynamics {
  /** Number of samples, one a second. */
  readonly samples: number;
  /** Number of samples with an acceleration above 0.1 m/s². */
  readonly accelerating: number;
  /** Sum of the sampled speeds, times 1 s [m]. */
  readonly distance: number;
  /** Mean of the sampled speeds [m/s]. */
  readonly meanSpeed: number;
  /** Relative positive acceleration of the samples above 0.1 m/s² [m/s²]. */
  readonly positiveAcceleration: number;
  /** The same of all samples with any acceleration above 0 [m/s²]. */
  readonly anyPositiveAcceleration: number;
  /** 95th percentile of speed times acceleration of the samples above 0.1 m/s² [m²/s³]. */
  readonly speedAcceleration95: number;
}

/** Dynamics of one speed bin against the limits. */
export interface BinDynamics extends Dynamics {
  readonly name: SpeedBinName;
  /** Above this 95th percentile the rules call a trip too dynamic [m²/s³]. */
  readonly dynamicLimit: number;
  /** Below this relative positive acceleration they call it too soft [m/s²]. */
  readonly softLimit: number;
  /** Undefined where the bin has fewer samples than the rules want. */
  readonly verdict: 'too-dynamic' | 'too-soft' | 'within' | undefined;
}

/** Dynamics of a whole drive. */
export interface TripDynamics {
  readonly whole: Dynamics;
  /** Urban, rural, motorway. */
  readonly bins: readonly BinDynamics[];
}

/**
 * Dynamics of a drive.
 *
 * @param motion instants, strictly increasing, and speeds
 */
export function tripDynamics(motion: Motion): TripDynamics {
  const whole = new DynamicsSums();
  const bins = SPEED_BINS.map(() => new DynamicsSums());
  const add = (speed: number, acceleration: number): void => {
    whole.add(speed, acceleration);
    const bin = SPEED_BINS.findIndex(({ above, upTo }) => speed > above && speed <= upTo);
    bins[bin]!.add(speed, acceleration);
  };
  // The sample before the last one read is complete once the last is known.
  let twoBefore = 0;
  let before = 0;
  const count = atEvenInstants(motion, SECOND, (index, speed) => {
    if (index === 1) add(before, 0);
    else if (index > 1) add(before, (speed - twoBefore) / (2 * SECOND));
    twoBefore = before;
    before = speed;
  });
  if (count > 0) add(before, 0);
  return {
    whole: whole.dynamics(),
    bins: SPEED_BINS.map(({ name }, index) => judged(name, bins[index]!.dynamics())),
  };
}

/**
 * Highest 95th percentile of speed times positive acceleration that is not too dynamic.
 *
 * @param meanSpeed of the bin [m/s]
 * @returns [m²/s³]; 22.60 at 60 km/h. The two branches do not meet: at 74.6 km/h the law steps down
 *   from 24.586 to 24.501
 */
export function dynamicLimit(meanSpeed: number): number {
  const kmh = meanSpeed / KMH;
  return kmh <= 74.6 ? 0.136 * kmh + 14.44 : 0.0742 * kmh + 18.966;
}

/**
 * Lowest relative positive acceleration that is not too soft.
 *
 * @param meanSpeed of the bin [m/s]
 * @returns [m/s²]; 0.0795 at 60 km/h
 */
export function softLimit(meanSpeed: number): number {
  const kmh = meanSpeed / KMH;
  return kmh <= 94.05 ? -0.0016 * kmh + 0.1755 : 0.025;
}

function judged(name: SpeedBinName, dynamics: Dynamics): BinDynamics {
  const limits = {
    dynamicLimit: dynamicLimit(dynamics.meanSpeed),
    softLimit: softLimit(dynamics.meanSpeed),
  };
  return { name, ...dynamics, ...limits, verdict: verdict(dynamics, limits) };
}

function verdict(
  dynamics: Dynamics,
  limits: { readonly dynamicLimit: number; readonly softLimit: number },
): BinDynamics['verdict'] {
  if (dynamics.accelerating < SAMPLES_WANTED) return undefined;
  if (dynamics.speedAcceleration95 > limits.dynamicLimit) return 'too-dynamic';
  return dynamics.positiveAcceleration < limits.softLimit ? 'too-soft' : 'within';
}

class DynamicsSums {
  #samples = 0;
  #speed = 0;
  #overThreshold = 0;
  #overZero = 0;
  /** Speed times acceleration of each sample above the threshold; grows with one value a second. */
  #products = new Float64Array(256);
  #accelerating = 0;

  add(speed: number, acceleration: number): void {
    const product = speed * acceleration;
    this.#samples++;
    this.#speed += speed;
    if (acceleration > 0) this.#overZero += product;
    if (!(acceleration > POSITIVE_ABOVE)) return;
    this.#overThreshold += product;
    if (this.#accelerating === this.#products.length) {
      const wider = new Float64Array(2 * this.#accelerating);
      wider.set(this.#products);
      this.#products = wider;
    }
    this.#products[this.#accelerating++] = product;
  }

  dynamics(): Dynamics {
    const products = this.#products.subarray(0, this.#accelerating).sort();
    return {
      samples: this.#samples,
      accelerating: this.#accelerating,
      distance: this.#speed * SECOND,
      meanSpeed: this.#speed / this.#samples,
      positiveAcceleration: this.#overThreshold / this.#speed,
      anyPositiveAcceleration: this.#overZero / this.#speed,
      speedAcceleration95: percentile(products, 0.95),
    };
  }
}
