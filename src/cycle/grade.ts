import { RoadGrid } from './grade-grid.ts';
import { WindowPass } from './grade-window.ts';
import type { Motion } from './motion.ts';
import { intervalDistance } from './trace.ts';

/**
 * Road grade from logged altitude: the two-pass method over distance of the EU real-driving rules
 * (Commission Regulation (EU) 2016/646, Appendix 7b), from memory, not re-read.
 *
 * 1. An altitude that differs from the one before it by more than a 45° slope at the speed of the
 *    car allows is replaced by the last good one.
 * 2. The altitude is read every metre of distance.
 * 3. The grade at a metre is the slope between the points 200 m before and behind it, or less far
 *    where the drive begins or ends; the grades are summed up from the first altitude on.
 * 4. The same again.
 *
 * Own choices, where the rules speak of samples at 1 Hz alone: the steepest rise is that over the
 * distance since the last altitude, or over a second at the present speed where that is farther, so
 * that neither the noise of a fast log nor the last metre before a stop is taken for a cliff; a car at rest keeps the altitude at which it stopped; the metre is stretched or
 * shrunk by so little that a whole number of them makes up the drive. The rules leave the end of
 * the smoothed profile a little off: here that difference is spread over the whole distance, so that
 * the altitude at the end is kept as well, and it is reported.
 */

/** Distance between the points at which the altitude is read [m]. */
const CELL = 1;

/** What smoothing made of the altitude. */
export interface SmoothedAltitude {
  /** Altitude of each sample [m], a function of the distance alone: at rest it does not change. */
  readonly altitude: Float64Array;
  /** Samples whose altitude was not believed, those that change at rest among them. */
  readonly implausible: number;
  /** Samples without an altitude; those around them were joined by a straight line. */
  readonly missing: number;
  /** End less beginning of the smoothed profile, less the same of the altitude itself [m]: spread out. */
  readonly endShift: number;
  readonly gain: AltitudeGain;
}

/** Sum of all that is climbed [m], at each stage of the smoothing. */
export interface AltitudeGain {
  /** Of the believed altitudes, straight lines between them. */
  readonly raw: number;
  readonly afterFirstPass: number;
  /** After both passes: what the rules call the cumulative positive altitude gain. */
  readonly afterSecondPass: number;
  /** The same for each distance [m/m]; the rules state it in m per 100 km. */
  readonly perDistance: number;
}

/**
 * Smooths the altitude of a drive over distance.
 *
 * A drive shorter than the windows becomes one straight slope from its first altitude to its last,
 * and over some metres the noise of these two is a steep one.
 *
 * The altitude goes through the method as it is read, a metre at a time, so that memory does not
 * grow with the distance.
 *
 * @param motion instants, strictly increasing, and speeds, none negative
 * @param altitude altitude of each sample [m]; NaN where there is none
 * @param result written and returned; the same array as `altitude` to write over it
 * @returns the smoothed altitude, and what was done to it
 * @throws RangeError if there is no altitude at all
 */
export function smoothAltitude(
  motion: Motion,
  altitude: Float64Array,
  result: Float64Array = new Float64Array(altitude.length),
): SmoothedAltitude {
  const { time, speed } = motion;
  let distance = 0;
  for (let k = 0; k + 1 < time.length; k++) distance += intervalDistance(time, speed, k);
  const cells = Math.max(1, Math.round(distance / CELL));
  const cell = distance / cells;

  const grid = new RoadGrid(motion, altitude);
  const profile = new ProfileWriter(motion, result, cell, cells);
  const second = new WindowPass(cells, (height) => profile.write(height));
  const first = new WindowPass(cells, (height) => second.take(height));
  let raw = 0;
  let before = grid.heightAt(0);
  const start = before;
  for (let d = 0; d <= cells; d++) {
    const height = grid.heightAt(d * cell);
    if (height > before) raw += height - before;
    first.take(height);
    before = height;
  }
  const endShift = profile.height - start - (before - start);
  spread(motion, result, -endShift, distance);
  return {
    altitude: result,
    implausible: grid.implausible,
    missing: grid.missing,
    endShift,
    gain: {
      raw,
      afterFirstPass: first.gain,
      afterSecondPass: second.gain,
      perDistance: distance > 0 ? second.gain / distance : 0,
    },
  };
}

/**
 * Sum of all rises of an altitude as it stands, without any smoothing. Noise adds to it: a flat road
 * whose altitude is read with an error seems to climb at every sample.
 *
 * @param altitude altitudes in the order of the road [m]
 * @returns [m]
 */
export function cumulativeGain(altitude: Float64Array): number {
  let sum = 0;
  for (let k = 1; k < altitude.length; k++) {
    const rise = altitude[k]! - altitude[k - 1]!;
    if (rise > 0) sum += rise;
  }
  return sum;
}

/** Takes the heights of the cells one by one and gives the samples theirs, linear within a cell. */
class ProfileWriter {
  /** Height of the last cell taken [m]. */
  height = 0;
  readonly #motion: Motion;
  readonly #altitude: Float64Array;
  readonly #cell: number;
  readonly #cells: number;
  #next = 0;
  #sample = 0;
  #distance = 0;

  constructor(motion: Motion, altitude: Float64Array, cell: number, cells: number) {
    this.#motion = motion;
    this.#altitude = altitude;
    this.#cell = cell;
    this.#cells = cells;
  }

  write(height: number): void {
    const { time, speed } = this.#motion;
    const cell = this.#next++;
    const end = cell * this.#cell;
    const last = cell === this.#cells;
    const from = cell === 0 ? height : this.height;
    while (this.#sample < time.length && (last || this.#distance <= end)) {
      const share = this.#cell > 0 ? Math.min(1, this.#distance / this.#cell - (cell - 1)) : 1;
      this.#altitude[this.#sample] = from + share * (height - from);
      this.#sample++;
      if (this.#sample < time.length) {
        this.#distance += intervalDistance(time, speed, this.#sample - 1);
      }
    }
    this.height = height;
  }
}

/** Adds a rise that grows in proportion to the distance driven. */
function spread(motion: Motion, altitude: Float64Array, rise: number, distance: number): void {
  if (rise === 0 || distance === 0) return;
  let driven = 0;
  for (let k = 1; k < altitude.length; k++) {
    driven += intervalDistance(motion.time, motion.speed, k - 1);
    altitude[k]! += (rise * driven) / distance;
  }
}
