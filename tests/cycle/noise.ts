import type { Trace } from '../../src/cycle/trace.ts';
import { seeded } from '../seeded.ts';

/** Normal numbers of mean 0 and standard deviation 1 (Box and Muller: elementary). */
export function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/**
 * A steady speed at 1 Hz as a satellite receiver would log it.
 *
 * @param seconds duration
 * @param speed [m/s]
 * @param deviation of the noise, normal and independent from second to second [m/s]
 * @param seed of the noise
 */
export function noisyConstantSpeed(
  seconds: number,
  speed: number,
  deviation: number,
  seed: number,
): Trace {
  const random = seeded(seed);
  return {
    name: 'steady',
    time: Float64Array.from({ length: seconds + 1 }, (_, k) => k),
    speed: Float64Array.from({ length: seconds + 1 }, () => speed + deviation * normal(random)),
    climb: new Float64Array(seconds),
    level: new Float64Array(seconds).fill(speed),
  };
}
