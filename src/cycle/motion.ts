/**
 * Instants and speeds: what a logged drive and a trace have in common. Between samples the speed is
 * linear in time.
 */
export interface Motion {
  /** Instants [s]. */
  readonly time: Float64Array;
  /** Speeds along the road [m/s]. */
  readonly speed: Float64Array;
}

/** A stretch of consecutive rows or samples: first … end − 1. */
export interface Range {
  readonly first: number;
  /** One past the last. */
  readonly end: number;
}

/** What an instant may be off [s] and still count as within a drive: rounding of large clock values. */
export const INSTANT_ROUNDING = 1e-6;

/**
 * Speed within an interval.
 *
 * @param motion instants and speeds
 * @param k the interval, from sample k to sample k+1
 * @param t an instant in it [s]
 * @returns speed [m/s], to the last bit that of a sample where the instant is one
 */
export function speedWithin(motion: Motion, k: number, t: number): number {
  const start = motion.time[k]!;
  const end = motion.time[k + 1]!;
  const from = motion.speed[k]!;
  if (t === end) return motion.speed[k + 1]!;
  return from + ((t - start) / (end - start)) * (motion.speed[k + 1]! - from);
}

/**
 * The interval that an instant lies in, by bisection; at a sample the interval that begins there,
 * at the last sample the interval that ends there.
 *
 * @param time strictly increasing instants [s], two at least
 * @param t an instant [s]; before the first the first interval answers, after the last the last
 */
export function intervalAt(time: Float64Array, t: number): number {
  let low = 0;
  let high = time.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (time[middle]! <= t) low = middle;
    else high = middle;
  }
  return low;
}

/**
 * Reads the speed at evenly spaced instants, from the first sample on as long as the drive lasts.
 *
 * @param motion instants and speeds
 * @param step [s], above 0
 * @param take called with the number of the instant, from 0, and the speed there [m/s]
 * @returns how many instants there were
 */
export function atEvenInstants(
  motion: Motion,
  step: number,
  take: (index: number, speed: number) => void,
): number {
  const { time } = motion;
  const last = time.length - 2;
  const start = time[0]!;
  const count = instantCount(motion, step);
  let k = 0;
  for (let i = 0; i < count; i++) {
    const t = Math.min(start + i * step, time[last + 1]!);
    while (k < last && time[k + 1]! <= t) k++;
    take(i, speedWithin(motion, k, t));
  }
  return count;
}

/** How many instants of a step there are from the first sample to the last, both counted. */
export function instantCount({ time }: Motion, step: number): number {
  const duration = time[time.length - 1]! - time[0]!;
  return Math.floor((duration + INSTANT_ROUNDING) / step) + 1;
}
