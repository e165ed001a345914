import { INSTANT_ROUNDING, instantCount, speedWithin } from './motion.ts';
import { distance, intervalDistance, type Trace } from './trace.ts';

/** A trace read at even instants, and what that did to it. */
export interface Resampled {
  readonly trace: Trace;
  /** Distance of the new trace less that of the old one [m]. */
  readonly distanceChange: number;
  /** Height that could not be climbed, because the new trace ends at rest [m]; mostly 0. */
  readonly climbLeft: number;
}

/** Steepest slope that an interval gets, as height over road: that of a 35 % grade. */
const STEEPEST = 0.35 / Math.hypot(1, 0.35);

/**
 * Reads a trace at even instants: the speed at each, straight lines between them.
 *
 * The distance changes a little where the speed curves within a step, and the change is reported. It
 * cannot be kept interval by interval: speeds at the instants that give each interval its old
 * distance swing from one instant to the next without end, and means over an interval are no speeds
 * at an instant. Instants that hit every old sample change nothing.
 *
 * Height is kept: an interval climbs what the old trace climbed in its time. Where the new one stands
 * still, or would be steeper than any road, the rest is climbed in the intervals that follow.
 *
 * @param trace the drive
 * @param step [s]; the last interval is shorter if the duration is no multiple of it
 * @returns the new trace, and what changed
 */
export function resample(trace: Trace, step: number): Resampled {
  if (!(step > 0)) throw new RangeError(`a step is above 0 s, not ${step}`);
  const start = trace.time[0]!;
  const end = trace.time[trace.time.length - 1]!;
  const whole = instantCount(trace, step) - 1;
  const rest = end - (start + whole * step) > INSTANT_ROUNDING ? 1 : 0;
  const intervals = whole + rest;
  const time = new Float64Array(intervals + 1);
  const speed = new Float64Array(intervals + 1);
  const climb = new Float64Array(intervals);
  const level = new Float64Array(intervals);
  time[0] = start;
  speed[0] = trace.speed[0]!;
  const road = new RoadCursor(trace);
  let climbLeft = 0;
  for (let j = 0; j < intervals; j++) {
    const to = j === intervals - 1 ? end : start + (j + 1) * step;
    road.goTo(to);
    time[j + 1] = to;
    speed[j + 1] = road.speed;
    const driven = intervalDistance(time, speed, j);
    const wanted = climbLeft + road.climb;
    const climbed = Math.min(Math.max(wanted, -STEEPEST * driven), STEEPEST * driven);
    climb[j] = climbed;
    level[j] = Math.sqrt(driven * driven - climbed * climbed) * road.evenness();
    climbLeft = wanted - climbed;
  }
  const even = { name: trace.name, time, speed, climb, level };
  return { trace: even, distanceChange: distance(even) - distance(trace), climbLeft };
}

/** Goes along a trace from instant to instant and adds up the road in between. */
class RoadCursor {
  /** Height gained, horizontal distance and distance along the road since the last instant [m]. */
  climb = 0;
  #level = 0;
  #way = 0;
  /** Speed at the instant [m/s]. */
  speed = 0;
  readonly #trace: Trace;
  #interval = 0;
  /** How far into the interval the last instant was [m]. */
  #done = 0;

  constructor(trace: Trace) {
    this.#trace = trace;
  }

  /** @param t the next instant, not before the last one [s] */
  goTo(t: number): void {
    const { time, speed } = this.#trace;
    this.climb = 0;
    this.#level = 0;
    this.#way = 0;
    while (this.#interval < time.length - 2 && time[this.#interval + 1]! <= t) {
      this.#drive(intervalDistance(time, speed, this.#interval));
      this.#interval++;
      this.#done = 0;
    }
    const start = this.#interval;
    this.speed = speedWithin(this.#trace, start, t);
    this.#drive(0.5 * (speed[start]! + this.speed) * (t - time[start]!));
  }

  /** @param end how far into the interval [m] */
  #drive(end: number): void {
    const { time, speed, climb, level } = this.#trace;
    const whole = intervalDistance(time, speed, this.#interval);
    if (!(end > this.#done)) return;
    const share = (end - this.#done) / whole;
    this.#way += end - this.#done;
    this.climb += climb[this.#interval]! * share;
    this.#level += level[this.#interval]! * share;
    this.#done = end;
  }

  /**
   * Horizontal distance over that of a constant slope between the same ends: 1 on an even slope, a
   * little less on a road that goes up and down.
   */
  evenness(): number {
    const straight = Math.sqrt(this.#way * this.#way - this.climb * this.climb);
    return straight > 0 ? Math.min(1, this.#level / straight) : 1;
  }
}
