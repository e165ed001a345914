import type { ChannelName } from './drive-agreement.ts';
import type { DriveLog } from './drive-log.ts';
import type { DriveSeries } from './drive-series.ts';
import { correlations, type Estimate, estimate } from './intervals.ts';
import { type Fit, leastSquares } from './least-squares.ts';

/** A parameter that is estimated from a log. */
export interface DriveParameter {
  /** Path as the user gave it: `car.mass_kg` */
  readonly path: string;
  /** Its value in the files, in the unit of its key */
  readonly start: number;
}

/** Parameters estimated from a log, in the units of their keys. */
export interface DriveEstimate {
  readonly parameters: readonly (DriveParameter & { readonly estimate: Estimate })[];
  readonly correlation: readonly (readonly number[])[];
  /** Channels that they were estimated from, with the deviation of the residuals in SI */
  readonly channels: readonly { readonly channel: ChannelName; readonly deviation: number }[];
  /** Correlation of each residual with the next */
  readonly lagCorrelation: number;
  readonly degrees: number;
}

/** A run of the simulator is no smooth function: steps of a thousandth see through its corners. */
const STEP = 2e-3;
const SETTLED = 1e-5;

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
 * of the first fit. Residuals that hang together widen the intervals.
 *
 * @param log
 * @param clock what to take from its times to be on the clock of the simulation [s]
 * @param parameters with the values of the files, none of them 0
 * @param simulate the case with other values
 * @throws NoFit where the log does not tell the parameters apart
 */
export function estimateDrive(
  log: DriveLog,
  clock: number,
  parameters: readonly DriveParameter[],
  simulate: (values: readonly number[]) => DriveSeries,
): DriveEstimate {
  const start = parameters.map((parameter) => parameter.start);
  const { duration } = simulate(start);
  const channels = channelsOf(log, clock, duration);
  const read = (series: DriveSeries, { channel, rows }: Omit<Weighted, 'deviation'>) =>
    rows.map((row) => valueAt(series, channel, log, clock, row));
  const weigh = (values: readonly number[]): Weighted[] => {
    const series = simulate(values);
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
        const series = simulate(values);
        return scaled((channel) => read(series, channel));
      },
      start: from,
      scale: start.map(Math.abs),
      breaks,
      step: STEP,
      settled: SETTLED,
    });
  };
  const first = once(start, weigh(start));
  const weighted = weigh(first.parameters);
  const fit = once(first.parameters, weighted);
  return {
    parameters: parameters.map((parameter, k) => ({
      ...parameter,
      estimate: estimate(fit.parameters[k]!, fit.inflation * fit.covariance[k]![k]!, fit.degrees),
    })),
    correlation: correlations(fit.covariance),
    channels: weighted.map(({ channel, deviation }) => ({ channel, deviation })),
    lagCorrelation: fit.lagCorrelation,
    degrees: fit.degrees,
  };
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
