import type { Motion, Range } from './motion.ts';
import { intervalDistance, type Trace } from './trace.ts';

/** Standstill that ends a trip, unless something else is asked for [s]. Own choice. */
export const TRIP_STANDSTILL = 300;

/** A stretch of a drive from rest to rest, with its figures. */
export interface MicroTrip extends Range {
  /** Whether it begins and ends at rest; the first and last of a log that starts on the move do not. */
  readonly complete: boolean;
  /** Standstill before it [s]. */
  readonly standstill: number;
  /** From moving off to standing again [s]. */
  readonly duration: number;
  /** [m] */
  readonly distance: number;
  /** [m/s] */
  readonly meanSpeed: number;
  /** [m/s] */
  readonly maxSpeed: number;
  /** ½ v² gained per distance [m/s²], the exact relative positive acceleration. */
  readonly kineticGained: number;
}

/**
 * Parts a drive into trips: where the car stands for longer than a limit, one trip ends and, if it
 * moves again, another begins. The long standstills belong to no trip, shorter ones to theirs. A log
 * with gaps is parted at these first: hand in its parts.
 *
 * @param motion instants, strictly increasing within each part, and speeds; at rest exactly 0
 * @param standstill longest standstill within a trip [s]
 * @param parts stretches of samples that are looked at one by one; the whole drive if left out
 * @returns the samples of each trip, in order; a stretch in which the car never moves is no trip
 */
export function splitTrips(
  motion: Motion,
  standstill: number = TRIP_STANDSTILL,
  parts: readonly Range[] = [{ first: 0, end: motion.time.length }],
): readonly Range[] {
  const trips: Range[] = [];
  for (const part of parts) {
    let first = part.first;
    let moves = false;
    const close = (end: number): void => {
      if (moves) trips.push({ first, end });
      moves = false;
    };
    for (let k = part.first; k < part.end; k++) {
      if (motion.speed[k]! > 0) {
        moves = true;
        continue;
      }
      const rest = k;
      while (k + 1 < part.end && motion.speed[k + 1] === 0) k++;
      if (motion.time[k]! - motion.time[rest]! <= standstill) continue;
      close(rest + 1);
      first = k;
    }
    close(part.end);
  }
  return trips;
}

/**
 * Parts a drive into micro-trips: from the last sample at rest to the first one at rest again.
 *
 * @param motion instants, strictly increasing, and speeds; at rest exactly 0
 * @returns the samples of each, in order, with its figures
 */
export function microTrips(motion: Motion): readonly MicroTrip[] {
  const { time, speed } = motion;
  const last = time.length - 1;
  const trips: MicroTrip[] = [];
  let rested = 0;
  let k = 0;
  while (k < last) {
    if (speed[k] === 0 && speed[k + 1] === 0) {
      rested += time[k + 1]! - time[k]!;
      k++;
      continue;
    }
    const first = k;
    do k++;
    while (k < last && speed[k]! > 0);
    trips.push(microTrip(motion, { first, end: k + 1 }, rested));
    rested = 0;
  }
  return trips;
}

function microTrip({ time, speed }: Motion, range: Range, standstill: number): MicroTrip {
  const { first, end } = range;
  let distance = 0;
  let maxSpeed = 0;
  let gained = 0;
  for (let k = first; k + 1 < end; k++) {
    const v1 = speed[k]!;
    const v2 = speed[k + 1]!;
    distance += intervalDistance(time, speed, k);
    maxSpeed = Math.max(maxSpeed, v1, v2);
    if (v2 > v1) gained += 0.5 * (v2 * v2 - v1 * v1);
  }
  const duration = time[end - 1]! - time[first]!;
  return {
    ...range,
    complete: speed[first] === 0 && speed[end - 1] === 0,
    standstill,
    duration,
    distance,
    meanSpeed: distance / duration,
    maxSpeed,
    kineticGained: gained / distance,
  };
}

/**
 * A stretch of a trace as a trace of its own, over the same memory: nothing is copied.
 *
 * @param trace the whole drive
 * @param range samples first … end − 1, two at least
 */
export function samplesOf(trace: Trace, { first, end }: Range): Trace {
  return {
    name: trace.name,
    time: trace.time.subarray(first, end),
    speed: trace.speed.subarray(first, end),
    climb: trace.climb.subarray(first, end - 1),
    level: trace.level.subarray(first, end - 1),
  };
}
