/**
 * A speed-time trace as the simulator uses it: samples k = 0 … n, intervals k = 0 … n-1 from
 * sample k to sample k+1. Between samples the speed is linear in time, so every integral below is
 * exact and does not change when the same trace is sampled more finely.
 *
 * The road is kept as two integrals for each interval, so that the potential energy and the
 * rolling work are exact too:
 *   climb[k] = ∫ sin θ · v dt  [m]   (height gained)
 *   level[k] = ∫ cos θ · v dt  [m]   (horizontal distance)
 */
export interface Trace {
  /** Short name for people and results: `wltc-class3b` or the file name without its ending. */
  readonly name: string;
  /** n + 1 instants [s], strictly increasing. */
  readonly time: Float64Array;
  /** n + 1 speeds along the road [m/s], none negative. */
  readonly speed: Float64Array;
  /** n heights gained [m]. */
  readonly climb: Float64Array;
  /** n horizontal distances [m]. */
  readonly level: Float64Array;
}

/** Number of intervals of a trace. */
export function intervalCount(trace: Trace): number {
  return trace.time.length - 1;
}

/** Duration of a trace [s]. */
export function duration(trace: Trace): number {
  return trace.time[intervalCount(trace)]! - trace.time[0]!;
}

/** Distance along the road [m] of interval k: mean speed times duration, exact for linear speed. */
export function intervalDistance(time: Float64Array, speed: Float64Array, k: number): number {
  return 0.5 * (speed[k]! + speed[k + 1]!) * (time[k + 1]! - time[k]!);
}

/** Distance along the road [m] of a whole trace. */
export function distance(trace: Trace): number {
  let sum = 0;
  for (let k = 0; k < intervalCount(trace); k++)
    sum += intervalDistance(trace.time, trace.speed, k);
  return sum;
}

/** Mean speed [m/s] of a trace, standstill included. */
export function meanSpeed(trace: Trace): number {
  return distance(trace) / duration(trace);
}

/** Highest speed [m/s] of a trace; speed is linear between samples, so a sample has it. */
export function maxSpeed(trace: Trace): number {
  let highest = 0;
  for (const speed of trace.speed) if (speed > highest) highest = speed;
  return highest;
}

/** Final less initial altitude [m] of a trace. */
export function altitudeChange(trace: Trace): number {
  let sum = 0;
  for (const climb of trace.climb) sum += climb;
  return sum;
}

/**
 * The same drive with every interval cut into equal parts. Speed stays linear within the old
 * intervals; their climb and level are shared out by distance, so that no integral changes.
 *
 * @param trace the drive
 * @param parts number of parts of each interval, a whole number of 1 or more
 * @returns a new trace of `parts` times as many intervals
 */
export function refine(trace: Trace, parts: number): Trace {
  if (!Number.isInteger(parts) || parts < 1) {
    throw new RangeError(`refine needs a whole number of parts of 1 or more, not ${parts}`);
  }
  const n = intervalCount(trace);
  const time = new Float64Array(n * parts + 1);
  const speed = new Float64Array(n * parts + 1);
  const climb = new Float64Array(n * parts);
  const level = new Float64Array(n * parts);
  for (let k = 0; k < n; k++) {
    const t1 = trace.time[k]!;
    const v1 = trace.speed[k]!;
    const t2 = trace.time[k + 1]!;
    const v2 = trace.speed[k + 1]!;
    for (let j = 0; j < parts; j++) {
      const part = k * parts + j;
      time[part] = t1 + ((t2 - t1) * j) / parts;
      speed[part] = v1 + ((v2 - v1) * j) / parts;
      // Mean speed of the part over the sum of all parts' mean speeds; at rest there is nothing to
      // share.
      const middle = v1 + ((v2 - v1) * (j + 0.5)) / parts;
      const share = v1 + v2 > 0 ? middle / (0.5 * (v1 + v2) * parts) : 0;
      climb[part] = trace.climb[k]! * share;
      level[part] = trace.level[k]! * share;
    }
  }
  time[n * parts] = trace.time[n]!;
  speed[n * parts] = trace.speed[n]!;
  return { name: trace.name, time, speed, climb, level };
}
