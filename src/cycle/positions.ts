/**
 * Mean radius of the earth [m], (2 a + b) / 3 with the semi-axes of the WGS 84 ellipsoid
 * (a = 6 378 137 m, b = 6 356 752.3142 m; computed here from these). Of an ellipsoid taken for a
 * sphere a distance is off by up to 0.6 %, by heading and latitude.
 */
export const EARTH_RADIUS = (2 * 6_378_137 + 6_356_752.3142) / 3;

/** An interval longer than this says little of the speed at its ends [s]; a choice, no source. */
const LONG_INTERVAL = 30;
/** Longest step back that is taken for rows out of order [s], as in the cleaning of the clock. */
const SET_BACK = 5;

/**
 * Distance between two positions along a great circle of a sphere, by the haversine formula
 *
 *     d = 2 R asin √(sin²(Δφ/2) + cos φ1 cos φ2 sin²(Δλ/2)),
 *
 * which keeps its digits for the few metres between two samples (R. W. Sinnott, Virtues of the
 * Haversine, Sky and Telescope 68 (1984), from memory, not verified).
 *
 * Worked figure: one minute of latitude, 1/60°, is 1853.25 m.
 *
 * @param latitude1 φ1 [rad]
 * @param longitude1 λ1 [rad]
 * @param latitude2 φ2 [rad]
 * @param longitude2 λ2 [rad]
 * @returns distance [m]
 */
export function distanceBetween(
  latitude1: number,
  longitude1: number,
  latitude2: number,
  longitude2: number,
): number {
  const north = Math.sin((latitude2 - latitude1) / 2);
  const east = Math.sin((longitude2 - longitude1) / 2);
  const chord = north * north + Math.cos(latitude1) * Math.cos(latitude2) * east * east;
  return 2 * EARTH_RADIUS * Math.asin(Math.min(1, Math.sqrt(chord)));
}

/**
 * Speeds from positions, one row after the other. The speed at a sample is the distance of the two
 * intervals beside it over their time,
 *
 *     v[k] = (d[k-1] + d[k]) / (t[k+1] - t[k-1]),
 *
 * and at both ends of a drive that of the one interval there. Summed up with the speed linear between
 * the samples, that is just the distance between the positions: each d counts one half at either
 * end of its interval. Speeds that met every interval's own mean would swing from sample to sample.
 *
 * A row without a position, at the same instant as the one before or a little out of order gets no
 * speed, and the interval goes on to the next row. An interval of more than 30 s is left out of the
 * speed at its ends if there is another. The height between two positions does not count (0.5 % of
 * the distance on a grade of 10 %), nor what a bend is longer than its chord.
 */
export class PositionSpeeds {
  readonly #set: (row: number, speed: number) => void;
  #row = -1;
  #time = 0;
  #latitude = 0;
  #longitude = 0;
  /** Of the interval that ends in the last row; without one the time is 0. */
  #distance = 0;
  #duration = 0;

  /** @param set called once with each row that has a speed [m/s], after the next row or at the end */
  constructor(set: (row: number, speed: number) => void) {
    this.#set = set;
  }

  /**
   * @param row its index
   * @param time [s]
   * @param latitude [rad]; NaN where there is no position, here and below
   * @param longitude [rad]
   */
  add(row: number, time: number, latitude: number, longitude: number): void {
    if (Number.isNaN(time + latitude + longitude)) return;
    const duration = time - this.#time;
    if (this.#row >= 0 && duration <= 0) {
      if (duration >= -SET_BACK) return;
      this.breakOff();
    }
    const isFirst = this.#row < 0;
    const distance = isFirst
      ? 0
      : distanceBetween(this.#latitude, this.#longitude, latitude, longitude);
    if (!isFirst) this.#set(this.#row, this.#speed(distance, duration));
    this.#row = row;
    this.#time = time;
    this.#latitude = latitude;
    this.#longitude = longitude;
    this.#distance = distance;
    this.#duration = isFirst ? 0 : duration;
  }

  /** The drive ends or is interrupted here: no interval leads on to the next row. */
  breakOff(): void {
    if (this.#row >= 0 && this.#duration > 0) {
      this.#set(this.#row, this.#distance / this.#duration);
    }
    this.#row = -1;
  }

  /** Speed [m/s] at the last row, from the interval before it and the one behind it. */
  #speed(distance: number, duration: number): number {
    const before = this.#duration;
    if (before === 0) return distance / duration;
    const isLongBefore = before > LONG_INTERVAL;
    const isLongBehind = duration > LONG_INTERVAL;
    if (isLongBehind && !isLongBefore) return this.#distance / before;
    if (isLongBefore && !isLongBehind) return distance / duration;
    return (this.#distance + distance) / (before + duration);
  }
}
