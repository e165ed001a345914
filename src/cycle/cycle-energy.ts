import { KMH } from '../config/units.ts';
import type { Motion } from './motion.ts';

/**
 * Energy that a drive asks of the wheels of a simple car on the flat, in the form of UN GTR No. 15,
 * Annex 7, paragraph 5 (from memory, not re-read): the force of an interval is the road load at its
 * mean speed and the inertia at its mean acceleration, the work is force times distance.
 */

/** A car reduced to its road load and mass. */
export interface CycleLoad {
  /** Constant force [N]. */
  readonly constant: number;
  /** Force for each speed [N/(m/s)]. */
  readonly linear: number;
  /** Force for each speed squared [N/(m/s)²]. */
  readonly square: number;
  /** Mass that is accelerated, wheels included [kg]. */
  readonly inertia: number;
}

/** Inertia over test mass where the rotating mass was not measured: UN GTR No. 15, from memory. */
export const ROTATING_MASS_FACTOR = 1.03;

/**
 * The car that cleaning reports and statistics speak of where no car is given: 1500 kg and
 * F = 100 N + 0.5 N/(km/h) v + 0.03 N/(km/h)² v². An invented car of middle size.
 */
export const REFERENCE_LOAD: CycleLoad = {
  constant: 100,
  linear: 0.5 / KMH,
  square: 0.03 / KMH ** 2,
  inertia: ROTATING_MASS_FACTOR * 1500,
};

/** Work at the wheels over a drive. */
export interface CycleEnergy {
  /** Work of the intervals in which the wheels are driven [J]. */
  readonly traction: number;
  /** Work of the intervals in which they are braked, as a positive number [J]. */
  readonly braking: number;
}

/**
 * Work at the wheels in an interval.
 *
 * @param motion instants and speeds
 * @param k the interval
 * @param load the car
 * @returns [J], negative where the car is braked
 */
export function intervalWork({ time, speed }: Motion, k: number, load: CycleLoad): number {
  const v1 = speed[k]!;
  const v2 = speed[k + 1]!;
  const dt = time[k + 1]! - time[k]!;
  const mean = 0.5 * (v1 + v2);
  const force =
    load.constant +
    load.linear * mean +
    load.square * mean * mean +
    (load.inertia * (v2 - v1)) / dt;
  return force * mean * dt;
}

/**
 * Work at the wheels over a drive on the flat.
 *
 * @param motion instants, strictly increasing, and speeds
 * @param load the car; the reference car if left out
 * @returns traction and braking [J]; UDDS with the reference car: 4933 kJ and 2417 kJ
 */
export function cycleEnergy(motion: Motion, load: CycleLoad = REFERENCE_LOAD): CycleEnergy {
  let traction = 0;
  let braking = 0;
  for (let k = 0; k + 1 < motion.time.length; k++) {
    const work = intervalWork(motion, k, load);
    if (work > 0) traction += work;
    else braking -= work;
  }
  return { traction, braking };
}
