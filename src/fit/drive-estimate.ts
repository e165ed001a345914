import type { ChannelName } from './drive-agreement.ts';
import type { DriveLog } from './drive-log.ts';
import type { DriveSeries } from './drive-series.ts';
import { correlations, type Estimate, estimate } from './intervals.ts';
import { type Fit, leastSquares, NoFit } from './least-squares.ts';

/** A parameter that is estimated from a log. */
export interface DriveParameter {
  /** Path as the user gave it: `car.mass_kg` */
  readonly path: string;
  /** Its value in the files, in the unit of its key */
  readonly start: number;
}

/** The case with other values of the parameters, from a rotor speed [rad/s]. */
export type Simulate = (values: readonly number[], rotorSpeed: number) => DriveSeries;

/** Where a drive begins. */
export interface DriveStart {
  /** What to take from the times of the log to be on the clock of the simulation [s] */
  readonly clock: number;
  /** [rad/s] */
  readonly rotorSpeed: number;
}

/** Parameters estimated from a log, in the units of their keys. */
export interface DriveEstimate {
  readonly parameters: readonly (DriveParameter & { readonly estimate: Estimate })[];
  readonly correlation: readonly (readonly number[])[];
  /** At the start, estimated with them where the log has a rotor speed [rad/s] */
  readonly rotorSpeed: number;
  /** Channels that they were estimated from, with the deviation of the residuals in SI */
  readonly channels: readonly { readonly channel: ChannelName; readonly deviation: number }[];
  /** Correlation of each residual with the next */
  readonly lagCorrelation: number;
  readonly degrees: number;
}

/** A run of the simulator is no smooth function: steps of two thousandths see through its corners. */
const STEP = 2e-3;
const SETTLED = 1e-5;
/** Size of a change of the rotor speed at the start, over that speed. */
const START_SCALE = 0.05;

/**
 * A drive that takes another turn, since the store is full once more or once less, is a cliff to least
 * squares. So cases all over this range, in shares of the values in the files, are tried first.
 */
const RANGE = { low: 0.6, high: 1.6 } as const;
/** Cases that are tried for each parameter, and rows of the log that they may drive in all. */
const TRIED = 300;
const MOST_ROWS = 3e7;
/** So many of the best are followed to their ends. */
const FOLLOWED = 3;
/** Bases of Halton's sequence; as many parameters can be estimated at once. */
const BASES = [2, 3, 5, 7] as const;

/** Most parameters that are estimated at once. */
export const MOST_PARAMETERS = BASES.length;

/** A channel with its residuals over their deviation. */
interface Weighted {
  readonly channel: ChannelName;
  readonly rows: readonly number[];
  readonly measured: readonly number[];
  readonly deviation: number;
}

/**
 * Estimates parameters by least squares of fuel flow and rotor speed, each channel weighted with the
 * deviation that its own residuals have: first with those of the case as it stands, then with those
 * of the first fit. The rotor speed at the start is a parameter beside them, since a single noisy row
 * must not stand for it. Residuals that hang together widen the intervals.
 *
 * @param log
 * @param begin where the drive begins
 * @param parameters with the values of the files, none of them 0
 * @param simulate the case with other values
 * @param tried cases that are tried for each parameter, to find where to begin
 * @throws NoFit where the log does not tell the parameters apart
 */
export function estimateDrive(
  log: DriveLog,
  { clock, rotorSpeed }: DriveStart,
  parameters: readonly DriveParameter[],
  simulate: Simulate,
  tried: number = TRIED,
): DriveEstimate {
  const start = parameters.map((parameter) => parameter.start);
  const drive = (p: readonly number[]) =>
    simulate(p.slice(0, start.length), p[start.length] ?? rotorSpeed);
  const begin = log.rotorSpeed === undefined ? [] : [rotorSpeed];
  const { duration } = drive(start);
  const channels = channelsOf(log, clock, duration);
  const read = (series: DriveSeries, { channel, rows }: Omit<Weighted, 'deviation'>) =>
    rows.map((row) => valueAt(series, channel, log, clock, row));
  const weigh = (values: readonly number[]): Weighted[] => {
    const series = drive(values);
    return channels.map((channel) => ({
      ...channel,
      deviation: deviationOf(read(series, channel), channel.measured),
    }));
  };
  const once = (from: readonly number[], weighted: readonly Weighted[]): Fit => {
    const scaled = (of: (channel: Weighted) => readonly number[]) =>
      weighted.flatMap((channel) => of(channel).map((value) => value / channel.deviation));
    let at = 0;
    const breaks = weighted.map(({ rows }) => {
      at += rows.length;
      return at;
    });
    return leastSquares({
      observed: scaled(({ measured }) => measured),
      model: (values) => {
        const series = drive(values);
        return scaled((channel) => read(series, channel));
      },
      start: from,
      scale: [...start, ...begin.map((speed) => START_SCALE * speed)].map(Math.abs),
      breaks,
      step: STEP,
      hasCliffs: true,
      settled: SETTLED,
    });
  };
  const asFiled = weigh(start);
  const cost = (values: readonly number[]): number => {
    const series = drive(values);
    return asFiled.reduce((sum, channel) => {
      const deviation = deviationOf(read(series, channel), channel.measured) / channel.deviation;
      return sum + channel.rows.length * deviation * deviation;
    }, 0);
  };
  const most = Math.max(TRIED / 10, Math.min(tried, MOST_ROWS / log.time.length));
  const likely = bestOf(start, tried === 0 ? 0 : Math.ceil(most * start.length), cost);
  const first = leastOf(likely.map((values) => () => once([...values, ...begin], asFiled)));
  const weighted = weigh(first.parameters);
  const fit = once(first.parameters, weighted);
  return {
    parameters: parameters.map((parameter, k) => ({
      ...parameter,
      estimate: estimate(fit.parameters[k]!, fit.inflation * fit.covariance[k]![k]!, fit.degrees),
    })),
    correlation: correlations(fit.covariance)
      .slice(0, start.length)
      .map((row) => row.slice(0, start.length)),
    rotorSpeed: fit.parameters[start.length] ?? rotorSpeed,
    channels: weighted.map(({ channel, deviation }) => ({ channel, deviation })),
    lagCorrelation: fit.lagCorrelation,
    degrees: fit.degrees,
  };
}

/** The values in the files, and the likeliest of cases all over the range, the likeliest first. */
function bestOf(
  start: readonly number[],
  count: number,
  cost: (values: readonly number[]) => number,
): readonly (readonly number[])[] {
  const span = Math.log(RANGE.high / RANGE.low);
  const cases = Array.from({ length: count }, (_, k) =>
    start.map((value, j) => value * RANGE.low * Math.exp(span * halton(k + 1, BASES[j]!))),
  );
  return [start, ...cases]
    .map((values) => ({ values, cost: cost(values) }))
    .toSorted((a, b) => a.cost - b.cost)
    .slice(0, FOLLOWED)
    .map(({ values }) => values);
}

/** The k-th number of Halton's even sequence in 0 … 1: the digits of k mirrored at the point. */
function halton(k: number, base: number): number {
  let [value, share] = [0, 1 / base];
  for (let rest = k; rest > 0; rest = Math.floor(rest / base)) {
    value += (rest % base) * share;
    share /= base;
  }
  return value;
}

/** The fit with the least deviation of those that come to an end. */
function leastOf(tries: readonly (() => Fit)[]): Fit {
  let best: Fit | undefined;
  let failed: NoFit | undefined;
  for (const attempt of tries) {
    try {
      const fit = attempt();
      if (best === undefined || fit.deviation < best.deviation) best = fit;
    } catch (error) {
      if (!(error instanceof NoFit)) throw error;
      failed = error;
    }
  }
  if (best === undefined) throw failed ?? new NoFit('no-end');
  return best;
}

function channelsOf(log: DriveLog, clock: number, duration: number): Omit<Weighted, 'deviation'>[] {
  const of = (channel: ChannelName, values: Float64Array | undefined) => {
    if (values === undefined) return [];
    const rows = Array.from(values, (_, row) => row).filter((row) => {
      const t = log.time[row]! - clock;
      return t >= 0 && t + log.step <= duration && !Number.isNaN(values[row]!);
    });
    return [{ channel, rows, measured: rows.map((row) => values[row]!) }];
  };
  return [...of('fuel', log.fuel), ...of('rotor_speed', log.rotorSpeed)];
}

function valueAt(
  series: DriveSeries,
  channel: ChannelName,
  log: DriveLog,
  clock: number,
  row: number,
): number {
  const t = log.time[row]! - clock;
  if (channel === 'rotor_speed') return series.rotorSpeed(t);
  return (series.burned(t + log.step) - series.burned(t)) / log.step;
}

function deviationOf(model: readonly number[], measured: readonly number[]): number {
  const squares = measured.reduce((sum, value, k) => sum + (value - model[k]!) ** 2, 0);
  return Math.sqrt(squares / measured.length) || 1;
}
