import { InputError, type Problem } from '../config/problem.ts';
import { KMH } from '../config/units.ts';
import { INSTANT_ROUNDING, intervalAt, speedWithin } from './motion.ts';
import { intervalDistance, type Trace } from './trace.ts';

/** What the speeds on both sides of a seam may differ by [m/s]: the last digit of a cycle table. */
export const SEAM_TOLERANCE = 0.1 * KMH;

/** A decimal such as 33.3 is a little off in m/s. */
const ROUNDING = 1e-9;

/**
 * Drives one trace after another. The clock goes on from each to the next; heights add up. At a seam
 * the last sample of one trace and the first of the next become one sample, with the speed of the
 * first; where the other was up to 0.1 km/h off, its first interval becomes longer or shorter by that
 * little and keeps its slope.
 *
 * @param traces one at least, in driving order
 * @param name name of the result
 * @returns a new trace
 * @throws InputError if the speeds at a seam do not agree
 */
export function join(traces: readonly Trace[], name: string): Trace {
  const [first] = traces;
  if (first === undefined) throw new RangeError('join needs one trace at least');
  const problems = traces.flatMap((trace, k) => seamProblem(traces[k - 1], trace));
  if (problems.length > 0) throw new InputError(problems);
  const intervals = traces.reduce((sum, { climb }) => sum + climb.length, 0);
  const joined: Trace = {
    name,
    time: new Float64Array(intervals + 1),
    speed: new Float64Array(intervals + 1),
    climb: new Float64Array(intervals),
    level: new Float64Array(intervals),
  };
  joined.time[0] = first.time[0]!;
  joined.speed[0] = first.speed[0]!;
  let at = 0;
  for (const trace of traces) {
    append(joined, trace, at);
    at += trace.climb.length;
  }
  return joined;
}

/** Writes a trace behind sample `at`. */
function append(joined: Trace, trace: Trace, at: number): void {
  const { time, speed, climb, level } = trace;
  const shift = joined.time[at]! - time[0]!;
  for (let k = 1; k < time.length; k++) {
    joined.time[at + k] = shift === 0 ? time[k]! : time[k]! + shift;
  }
  joined.speed.set(speed.subarray(1), at + 1);
  joined.climb.set(climb, at);
  joined.level.set(level, at);
  if (joined.speed[at] !== speed[0]) keepSlope(joined, trace, at);
}

/** The first interval behind a seam was driven at another speed: its climb and level follow. */
function keepSlope(joined: Trace, trace: Trace, at: number): void {
  const before = intervalDistance(trace.time, trace.speed, 0);
  const now = intervalDistance(joined.time, joined.speed, at);
  joined.climb[at] = before > 0 ? (trace.climb[0]! * now) / before : 0;
  joined.level[at] = before > 0 ? (trace.level[0]! * now) / before : now;
}

function seamProblem(before: Trace | undefined, after: Trace): Problem[] {
  if (before === undefined) return [];
  const end = before.speed[before.speed.length - 1]!;
  const start = after.speed[0]!;
  if (Math.abs(end - start) <= SEAM_TOLERANCE + ROUNDING) return [];
  return [
    {
      code: 'seam',
      path: before === after ? before.name : `${before.name} + ${after.name}`,
      found: `\`${before.name}\` ends at ${kmh(end)} km/h, \`${after.name}\` begins at ${kmh(start)} km/h`,
      expected: 'speeds that agree within 0.1 km/h where one part follows another',
      hint: 'cut the parts where the car is at rest or equally fast, as in `name[0..589]`, or leave their speed factors out',
    },
  ];
}

function kmh(speed: number): number {
  return Number((speed / KMH).toFixed(2));
}

/**
 * Drives a trace several times in a row.
 *
 * @param trace the drive; it has to end as fast as it begins
 * @param times a whole number of 1 or more
 * @param name name of the result
 * @throws InputError if it ends faster or slower than it begins
 */
export function repeat(trace: Trace, times: number, name: string): Trace {
  if (!Number.isInteger(times) || times < 1) {
    throw new RangeError(`repeat needs a whole number of 1 or more, not ${times}`);
  }
  const problems = times > 1 ? seamProblem(trace, trace) : [];
  if (problems.length > 0) throw new InputError(problems);
  return join(new Array<Trace>(times).fill(trace), name);
}

/**
 * The stretch of a trace between two instants of its own clock. Within an interval the speed at a cut
 * lies on the straight line; climb and level are shared out by distance, so that the stretches of a
 * trace add up to the whole.
 *
 * @param trace the drive
 * @param from first instant [s]
 * @param to last instant [s]
 * @returns a new trace, on the clock of the old one
 * @throws InputError if the instants do not lie within the trace, in this order
 */
export function cut(trace: Trace, from: number, to: number): Trace {
  const { time } = trace;
  const start = time[0]!;
  const end = time[time.length - 1]!;
  if (!(from >= start - INSTANT_ROUNDING && to <= end + INSTANT_ROUNDING && from < to)) {
    throw new InputError([
      {
        code: 'out-of-range',
        path: trace.name,
        found: `from ${from} s to ${to} s`,
        expected: `two instants between ${start} s and ${end} s, the earlier one first`,
        hint: 'a cut is given in the seconds of the cycle’s own clock',
      },
    ]);
  }
  const first = Math.max(from, start);
  const last = Math.min(to, end);
  const firstInterval = intervalAt(time, first);
  let lastInterval = intervalAt(time, last);
  if (time[lastInterval] === last) lastInterval--;
  const intervals = lastInterval - firstInterval + 1;
  const piece: Trace = {
    name: trace.name,
    time: time.slice(firstInterval, lastInterval + 2),
    speed: trace.speed.slice(firstInterval, lastInterval + 2),
    climb: trace.climb.slice(firstInterval, lastInterval + 1),
    level: trace.level.slice(firstInterval, lastInterval + 1),
  };
  piece.time[0] = first;
  piece.speed[0] = speedWithin(trace, firstInterval, first);
  piece.time[intervals] = last;
  piece.speed[intervals] = speedWithin(trace, lastInterval, last);
  shareOut(trace, firstInterval, piece, 0);
  if (intervals > 1) shareOut(trace, lastInterval, piece, intervals - 1);
  return piece;
}

/** Climb and level of an interval of a piece, by its distance within the interval it comes from. */
function shareOut(trace: Trace, k: number, piece: Trace, j: number): void {
  const whole = intervalDistance(trace.time, trace.speed, k);
  const part = intervalDistance(piece.time, piece.speed, j);
  if (part === whole) return;
  piece.climb[j] = (trace.climb[k]! * part) / whole;
  piece.level[j] = (trace.level[k]! * part) / whole;
}

/**
 * The same drive at other speeds in the same time. The road stretches with the distance: slopes stay,
 * heights grow with the factor.
 *
 * @param trace the drive
 * @param factor of every speed, above 0
 */
export function scaleSpeed(trace: Trace, factor: number): Trace {
  if (!(factor > 0 && factor < Number.POSITIVE_INFINITY)) {
    throw new RangeError(`a speed factor is above 0, not ${factor}`);
  }
  return {
    name: trace.name,
    time: trace.time.slice(),
    speed: trace.speed.map((speed) => speed * factor),
    climb: trace.climb.map((climb) => climb * factor),
    level: trace.level.map((level) => level * factor),
  };
}

/**
 * The same road driven in another time: every interval lasts longer by the factor and is driven
 * slower by it, so that distance and heights stay.
 *
 * @param trace the drive
 * @param factor of every duration, above 0
 */
export function stretchTime(trace: Trace, factor: number): Trace {
  if (!(factor > 0 && factor < Number.POSITIVE_INFINITY)) {
    throw new RangeError(`a time factor is above 0, not ${factor}`);
  }
  const start = trace.time[0]!;
  return {
    name: trace.name,
    time: trace.time.map((time) => start + (time - start) * factor),
    speed: trace.speed.map((speed) => speed / factor),
    climb: trace.climb.slice(),
    level: trace.level.slice(),
  };
}
