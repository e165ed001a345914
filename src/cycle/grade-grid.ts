import { DEGREE } from '../config/units.ts';
import type { Motion } from './motion.ts';
import { intervalDistance } from './trace.ts';

/** Time between the samples of the rules [s]. */
const SECOND = 1;
/** Height over road of the steepest rise that is believed. */
const STEEPEST = Math.sin(45 * DEGREE);

/**
 * The altitude of a logged road by distance: straight lines between the samples at which the car
 * had moved on. Distances have to be asked for in rising order; the samples are read once.
 */
export class RoadGrid {
  /** Samples whose altitude was not believed. */
  implausible = 0;
  /** Samples without an altitude. */
  missing = 0;
  readonly #motion: Motion;
  readonly #altitude: Float64Array;
  #sample = 0;
  /** Distance of the sample last read [m]. */
  #driven = 0;
  /** Of the last sample that had an altitude: distance, altitude as logged and as believed [m]. */
  #knownDistance: number;
  #logged: number;
  #believed: number;
  /** The two points that the straight line goes through: distance and height [m]. */
  #fromDistance = 0;
  #fromHeight: number;
  #toDistance = 0;
  #toHeight: number;

  /** @throws RangeError if there is no altitude at all */
  constructor(motion: Motion, altitude: Float64Array) {
    this.#motion = motion;
    this.#altitude = altitude;
    const first = altitude.findIndex(Number.isFinite);
    if (first === -1) throw new RangeError('a road needs one altitude at least');
    this.#logged = altitude[first]!;
    this.#believed = this.#logged;
    this.#fromHeight = this.#logged;
    this.#toHeight = this.#logged;
    for (let k = 0; k <= first; k++) this.#moveTo(k);
    this.missing = first;
    this.#knownDistance = this.#driven;
    // Before the first altitude the road is flat.
    this.#toDistance = this.#driven;
  }

  #moveTo(sample: number): void {
    if (sample > 0) {
      this.#driven += intervalDistance(this.#motion.time, this.#motion.speed, sample - 1);
    }
    this.#sample = sample;
  }

  /**
   * @param distance from the start [m], not below the one asked for last
   * @returns altitude [m]
   */
  heightAt(distance: number): number {
    while (this.#toDistance < distance && this.#sample + 1 < this.#altitude.length) this.#readOn();
    if (distance >= this.#toDistance) return this.#toHeight;
    const share = (distance - this.#fromDistance) / (this.#toDistance - this.#fromDistance);
    return this.#fromHeight + share * (this.#toHeight - this.#fromHeight);
  }

  #readOn(): void {
    this.#moveTo(this.#sample + 1);
    const logged = this.#altitude[this.#sample]!;
    if (!Number.isFinite(logged)) {
      this.missing++;
      return;
    }
    const moved = this.#driven > this.#toDistance;
    this.#believe(logged, moved);
    if (!moved) return;
    this.#fromDistance = this.#toDistance;
    this.#fromHeight = this.#toHeight;
    this.#toDistance = this.#driven;
    this.#toHeight = this.#believed;
  }

  #believe(logged: number, moved: boolean): void {
    const speed = this.#motion.speed[this.#sample]!;
    const driven = Math.max(this.#driven - this.#knownDistance, speed * SECOND);
    const steepest = driven * STEEPEST;
    const believable = moved && Math.abs(logged - this.#logged) <= steepest;
    if (believable) this.#believed = logged;
    else if (logged !== this.#believed) this.implausible++;
    this.#logged = logged;
    this.#knownDistance = this.#driven;
  }
}
