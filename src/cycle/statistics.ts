import { KMH } from '../config/units.ts';
import { GRAVITY } from '../physics/air.ts';
import { meanSpeedCube } from '../physics/road-load.ts';
import { type CycleEnergy, cycleEnergy } from './cycle-energy.ts';
import { atEvenInstants, type Motion } from './motion.ts';
import { intervalDistance, type Trace } from './trace.ts';
import { type TripDynamics, tripDynamics } from './trip-dynamics.ts';

/**
 * Figures of a drive cycle. What does not say otherwise is an exact integral of the speed, linear
 * between the samples, and does not change when the same drive is sampled more finely. Quantities
 * per distance are NaN for a drive that covers none.
 */
export interface CycleStatistics {
  /** [s] */
  readonly duration: number;
  /** [m] */
  readonly distance: number;
  /** Over the whole duration, standstill included [m/s]. */
  readonly meanSpeed: number;
  /** Over the time in which the car moves [m/s]. */
  readonly meanDrivingSpeed: number;
  /** [m/s] */
  readonly maxSpeed: number;
  /** Highest of the intervals [m/s²]; 0 if none accelerates. */
  readonly maxAcceleration: number;
  /** Highest of the intervals, as a positive number [m/s²]. */
  readonly maxDeceleration: number;
  readonly stops: Stops;
  readonly relativePositiveAcceleration: RelativePositiveAcceleration;
  readonly dynamics: TripDynamics;
  readonly kinetic: KineticFigures;
  readonly climbing: ClimbingFigures;
  /** Work at the wheels of the reference car on the flat [J]. */
  readonly referenceEnergy: CycleEnergy;
}

/** Standstill, by the two definitions that are met in print: always say which one is shown. */
export interface Stops {
  /** Share of the duration in intervals at whose both ends the car is at rest. */
  readonly restShare: number;
  /**
   * Share of the seconds that end at less than 1 km/h: all samples at 1 Hz but the first. A little
   * more than the share at rest, because the second in which the car stops counts too.
   */
  readonly belowOneKmhShare: number;
  /** How often the car comes to rest, at the end of the drive too. */
  readonly count: number;
}

/** Positive acceleration times speed over distance [m/s²], by the three definitions in use. */
export interface RelativePositiveAcceleration {
  /** ∫ a v dt over a > 0 / ∫ v dt, exact; half of what is also called positive kinetic energy. */
  readonly exact: number;
  /** At 1 Hz, acceleration by central differences, all that is above 0. */
  readonly centralDifferences: number;
  /** The same of accelerations above 0.1 m/s², as the EU real-driving rules have it (from memory). */
  readonly centralAboveThreshold: number;
}

/** Kinetic energy per mass and distance [J/kg per m = m/s²], and what it says of a cycle. */
export interface KineticFigures {
  /** ½ v² gained while accelerating, over distance. */
  readonly gained: number;
  /** ½ v² given up while slowing down, over distance. */
  readonly shed: number;
  /** ½ v² + g h gained, over distance [m/s²]: the characteristic acceleration. */
  readonly characteristicAcceleration: number;
  /** Aerodynamic speed squared: mean of v³ over mean of v [m²/s²]. */
  readonly aerodynamicSpeedSquared: number;
  /**
   * Kinetic intensity [1/m]: characteristic acceleration over aerodynamic speed squared. High where
   * much energy goes through the mass, and so through a store; low where the air takes it. O'Keefe,
   * Simpson, Kelly and Pedersen, SAE 2007-01-0302; from memory, not verified.
   */
  readonly intensity: number;
}

/** Heights over distance [m/m]. */
export interface ClimbingFigures {
  /** Sum of the intervals that climb, over distance. */
  readonly up: number;
  /** Sum of the intervals that fall, as a positive number, over distance. */
  readonly down: number;
}

/**
 * Figures of a drive cycle.
 *
 * @param trace the drive
 */
export function cycleStatistics(trace: Trace): CycleStatistics {
  const sums = integrals(trace);
  const { duration, distance } = sums;
  const dynamics = tripDynamics(trace);
  const characteristicAcceleration = sums.energyGained / distance;
  const aerodynamicSpeedSquared = sums.speedCube / distance;
  return {
    duration,
    distance,
    meanSpeed: distance / duration,
    meanDrivingSpeed: distance / (duration - sums.rest),
    maxSpeed: sums.maxSpeed,
    maxAcceleration: sums.maxAcceleration,
    maxDeceleration: sums.maxDeceleration,
    stops: {
      restShare: sums.rest / duration,
      belowOneKmhShare: shareBelow(trace, 1 * KMH),
      count: sums.stops,
    },
    relativePositiveAcceleration: {
      exact: sums.gained / distance,
      centralDifferences: dynamics.whole.anyPositiveAcceleration,
      centralAboveThreshold: dynamics.whole.positiveAcceleration,
    },
    dynamics,
    kinetic: {
      gained: sums.gained / distance,
      shed: sums.shed / distance,
      characteristicAcceleration,
      aerodynamicSpeedSquared,
      intensity: characteristicAcceleration / aerodynamicSpeedSquared,
    },
    climbing: { up: sums.up / distance, down: sums.down / distance },
    referenceEnergy: cycleEnergy(trace),
  };
}

/** Sums over the intervals of a trace; energies per mass. */
function integrals({ time, speed, climb }: Trace) {
  const sums = {
    duration: time[time.length - 1]! - time[0]!,
    distance: 0,
    maxSpeed: speed[0]!,
    maxAcceleration: 0,
    maxDeceleration: 0,
    rest: 0,
    stops: 0,
    gained: 0,
    shed: 0,
    energyGained: 0,
    speedCube: 0,
    up: 0,
    down: 0,
  };
  for (let k = 0; k < climb.length; k++) {
    const v1 = speed[k]!;
    const v2 = speed[k + 1]!;
    const dt = time[k + 1]! - time[k]!;
    const acceleration = (v2 - v1) / dt;
    const kinetic = 0.5 * (v2 * v2 - v1 * v1);
    const rise = climb[k]!;
    sums.distance += intervalDistance(time, speed, k);
    sums.speedCube += meanSpeedCube(v1, v2) * dt;
    if (v2 > sums.maxSpeed) sums.maxSpeed = v2;
    if (acceleration > sums.maxAcceleration) sums.maxAcceleration = acceleration;
    if (-acceleration > sums.maxDeceleration) sums.maxDeceleration = -acceleration;
    if (v1 === 0 && v2 === 0) sums.rest += dt;
    if (v1 > 0 && v2 === 0) sums.stops++;
    if (kinetic > 0) sums.gained += kinetic;
    else sums.shed -= kinetic;
    if (kinetic + GRAVITY * rise > 0) sums.energyGained += kinetic + GRAVITY * rise;
    if (rise > 0) sums.up += rise;
    else sums.down -= rise;
  }
  return sums;
}

/** Share of the seconds that end at less than a speed [m/s]; the first sample ends none. */
function shareBelow(motion: Motion, limit: number): number {
  let below = 0;
  const count = atEvenInstants(motion, 1, (index, speed) => {
    if (index > 0 && speed < limit) below++;
  });
  return below / (count - 1);
}
