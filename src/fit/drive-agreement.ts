import type { DriveLog } from './drive-log.ts';
import type { DriveSeries } from './drive-series.ts';
import { type TimeShift, timeShift } from './time-shift.ts';

/** Channels whose values are compared sample by sample. */
export const CHANNELS = ['speed', 'fuel', 'rotor_speed'] as const;

/** Name of a channel. */
export type ChannelName = (typeof CHANNELS)[number];

/** A channel measured and simulated, in SI. */
export interface ChannelAgreement {
  readonly channel: ChannelName;
  /** Rows that have a value within the simulated drive */
  readonly samples: number;
  /** Root mean square of simulated less measured */
  readonly rms: number;
  /** Mean of it */
  readonly bias: number;
  /** What this channel alone lags behind, once the log has been shifted; undefined where unknown */
  readonly lag: TimeShift | undefined;
  /** Stretches with the greatest rms, worst first */
  readonly worst: readonly Stretch[];
  /** A value for each row of the log: NaN where there is none */
  readonly measured: Float64Array;
  readonly simulated: Float64Array;
}

/** A stretch of the log. */
export interface Stretch {
  /** As logged [s] */
  readonly from: number;
  readonly to: number;
  readonly rms: number;
  readonly bias: number;
}

/** How a log agrees with its simulation. */
export interface DriveAgreement {
  readonly channels: readonly ChannelAgreement[];
  /** Fuel over the common rows [kg]; undefined where the log has none */
  readonly fuel: { readonly measured: number; readonly simulated: number } | undefined;
  readonly engine: EngineAgreement | undefined;
  /** Rows of the log beyond the simulated drive */
  readonly outside: number;
}

/** Engine on and off, measured and simulated. */
export interface EngineAgreement {
  /** Share of the rows in which both agree */
  readonly share: number;
  readonly measuredStarts: number;
  readonly simulatedStarts: number;
  /** Measured starts that have a simulated one near */
  readonly matched: number;
  /** Farthest that two starts of a pair may lie apart [s] */
  readonly tolerance: number;
}

/** What is asked of a comparison. */
export interface AgreementOptions {
  /** Length of a stretch [s] */
  readonly stretch: number;
  /** Starts that lie no farther apart are the same [s] */
  readonly startTolerance: number;
  /** Farthest lag of a channel that is looked for [s] */
  readonly window: number;
}

/** So many of the worst stretches are kept. */
const WORST = 3;
/** A fuel flow stands for no more than so many usual steps: beyond it the log has a gap. */
const GAP = 3;

/**
 * Holds a log against its simulation.
 * @param log
 * @param clock what to take from the times of the log to be on the clock of the simulation [s]
 * @param series the simulation
 * @param options
 */
export function agreement(
  log: DriveLog,
  clock: number,
  series: DriveSeries,
  options: AgreementOptions,
): DriveAgreement {
  const time = log.time.map((t) => t - clock);
  const { duration } = series;
  const isCommon = (t: number) => t >= 0 && t <= duration;
  const channels: ChannelAgreement[] = [];
  const add = (
    channel: ChannelName,
    measured: Float64Array | undefined,
    simulated: (t: number, row: number) => number,
    smooth: (t: number) => number,
  ): void => {
    if (measured === undefined) return;
    const model = time.map((t, row) => (isCommon(t) ? simulated(t, row) : Number.NaN));
    const lag = timeShift(time, measured, smooth, duration, options.window, log.step);
    channels.push({ ...compare(channel, log.time, measured, model, options.stretch), lag });
  };
  const spanEnd = (t: number, row: number): number =>
    t + Math.min((time[row + 1] ?? t + log.step) - t, GAP * log.step);
  const flow = (t: number, end: number) =>
    end <= duration ? (series.burned(end) - series.burned(t)) / (end - t) : Number.NaN;
  add(
    'speed',
    log.speed,
    (t) => series.speed(t),
    (t) => series.speed(t),
  );
  add(
    'fuel',
    log.fuel,
    (t, row) => flow(t, spanEnd(t, row)),
    (t) => flow(Math.min(t, duration - log.step), Math.min(t, duration - log.step) + log.step),
  );
  add(
    'rotor_speed',
    log.rotorSpeed,
    (t) => series.rotorSpeed(t),
    (t) => series.rotorSpeed(t),
  );
  return {
    channels,
    fuel: totals(channels, time, spanEnd),
    engine: log.engineOn && engineAgreement(log.engineOn, time, series, options.startTolerance),
    outside: time.filter((t) => !isCommon(t)).length,
  };
}

function compare(
  channel: ChannelName,
  time: Float64Array,
  measured: Float64Array,
  simulated: Float64Array,
  stretch: number,
): Omit<ChannelAgreement, 'lag'> {
  const errors = simulated.map((value, row) => value - measured[row]!);
  const whole = sums(errors, 0, errors.length);
  const stretches: Stretch[] = [];
  for (let row = 0; row < time.length; ) {
    let end = row + 1;
    while (end < time.length && time[end]! < time[row]! + stretch) end++;
    const { samples, rms, bias } = sums(errors, row, end);
    if (samples > 0) {
      stretches.push({ from: time[row]!, to: time[end] ?? time[end - 1]!, rms, bias });
    }
    row = end;
  }
  const worst = stretches.toSorted((a, b) => b.rms - a.rms).slice(0, WORST);
  return { channel, ...whole, worst, measured, simulated };
}

function sums(errors: Float64Array, from: number, to: number) {
  let samples = 0;
  let sum = 0;
  let squares = 0;
  for (let row = from; row < to; row++) {
    const error = errors[row]!;
    if (Number.isNaN(error)) continue;
    samples++;
    sum += error;
    squares += error * error;
  }
  return {
    samples,
    rms: samples === 0 ? 0 : Math.sqrt(squares / samples),
    bias: samples === 0 ? 0 : sum / samples,
  };
}

function totals(
  channels: readonly ChannelAgreement[],
  time: Float64Array,
  spanEnd: (t: number, row: number) => number,
): DriveAgreement['fuel'] {
  const fuel = channels.find(({ channel }) => channel === 'fuel');
  if (fuel === undefined) return undefined;
  let measured = 0;
  let simulated = 0;
  for (const [row, t] of time.entries()) {
    const error = fuel.simulated[row]! - fuel.measured[row]!;
    if (Number.isNaN(error)) continue;
    const span = spanEnd(t, row) - t;
    measured += fuel.measured[row]! * span;
    simulated += fuel.simulated[row]! * span;
  }
  return { measured, simulated };
}

function engineAgreement(
  measured: Float64Array,
  time: Float64Array,
  series: DriveSeries,
  tolerance: number,
): EngineAgreement {
  let rows = 0;
  let same = 0;
  let last = Number.NaN;
  const starts: number[] = [];
  let [first, end] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const [row, t] of time.entries()) {
    const on = measured[row]!;
    if (Number.isNaN(on) || t < 0 || t > series.duration) continue;
    rows++;
    if (on === series.engineOn(t)) same++;
    if (last === 0 && on === 1) starts.push(t);
    last = on;
    first = Math.min(first, t);
    end = Math.max(end, t);
  }
  const simulated = series.starts.filter((t) => t > first && t <= end);
  return {
    share: rows === 0 ? 0 : same / rows,
    measuredStarts: starts.length,
    simulatedStarts: simulated.length,
    matched: matchedStarts(starts, simulated, tolerance),
    tolerance,
  };
}

/** Pairs starts in their order, each with at most one other. */
function matchedStarts(a: readonly number[], b: readonly number[], tolerance: number): number {
  let matched = 0;
  let k = 0;
  for (const at of a) {
    while (k < b.length && b[k]! < at - tolerance) k++;
    if (k < b.length && b[k]! <= at + tolerance) {
      matched++;
      k++;
    }
  }
  return matched;
}
