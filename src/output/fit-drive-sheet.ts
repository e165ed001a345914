import { type Problem, problemLine } from '../config/problem.ts';
import { GRAM, PERCENT, RPM } from '../config/units.ts';
import type { ChannelName, DriveAgreement } from '../fit/drive-agreement.ts';
import type { DriveEstimate } from '../fit/drive-estimate.ts';
import { CHANNEL_UNITS, type FigureName, type Verdict } from '../fit/drive-limits.ts';
import type { DriveLog } from '../fit/drive-log.ts';
import { CONFIDENCE } from '../fit/intervals.ts';
import { fixed } from '../summary/numbers.ts';
import { tool } from '../summary/tool.ts';
import { type EstimateSheet, estimateSheet, FIT_SCHEMA_VERSION } from './fit-figures.ts';

/** How far the clock of a log is off that of the simulation, and how that is known. */
export interface LogShift {
  /** [s]; positive where the log is later */
  readonly shift: number;
  /** What to take from the times of the log [s] */
  readonly clock: number;
  /** The channel whose correlation was highest there, `log` where both share one clock */
  readonly from: ChannelName | 'engine_on' | 'log' | 'option';
  readonly correlation?: number;
}

/** A log that was held against its simulation. */
export interface FittedDrive {
  readonly file: string;
  readonly names: {
    readonly car: string;
    readonly store: string;
    readonly strategy: string;
    readonly cycle: string;
  };
  readonly log: DriveLog;
  readonly shift: LogShift;
  /** At the start of the simulation [rad/s] */
  readonly rotorSpeed: number;
  readonly agreement: DriveAgreement;
  readonly figures: Readonly<Record<FigureName, number | undefined>>;
  readonly verdicts: readonly Verdict[];
  readonly estimate: DriveEstimate | undefined;
  /** With the estimated parameters */
  readonly afterwards: DriveAgreement | undefined;
  /** What the files would have against the estimates */
  readonly problems: readonly Problem[];
}

/** The document that `fit drive --format json` prints. */
export interface DriveSheet {
  readonly schema_version: typeof FIT_SCHEMA_VERSION;
  readonly tool: string;
  readonly fit: 'drive';
  readonly file: string;
  readonly case: FittedDrive['names'];
  readonly rows: number;
  readonly rows_outside_drive: number;
  readonly shift: {
    readonly shift_s: number;
    readonly from: LogShift['from'];
    readonly correlation: number | null;
  };
  readonly start_rotor_speed_rpm: number;
  /** Figures that limits may be set for; null where the log has no such channel */
  readonly figures: Readonly<Record<FigureName, number | null>>;
  readonly channels: readonly ChannelSheet[];
  readonly fuel_total: {
    readonly measured_g: number;
    readonly simulated_g: number;
    readonly error_pct: number | null;
  } | null;
  readonly engine: {
    readonly agreement_pct: number;
    readonly measured_starts: number;
    readonly simulated_starts: number;
    readonly matched_starts: number;
    readonly tolerance_s: number;
  } | null;
  readonly limits: readonly {
    readonly figure: FigureName;
    readonly most: number;
    readonly value: number | null;
    readonly holds: boolean;
  }[];
  readonly holds: boolean;
  readonly estimates: {
    readonly parameters: readonly {
      readonly path: string;
      readonly in_file: number;
      readonly estimate: EstimateSheet;
    }[];
    readonly correlation: readonly (readonly number[])[];
    readonly confidence_pct: number;
    readonly degrees_of_freedom: number;
    readonly lag_correlation: number;
    readonly channels_afterwards: readonly ChannelSheet[];
    readonly fuel_total_pct_afterwards: number | null;
  } | null;
  readonly warnings: readonly string[];
}

/** How a channel agrees. */
export interface ChannelSheet {
  readonly channel: ChannelName;
  readonly unit: string;
  readonly samples: number;
  readonly rms: number;
  readonly bias: number;
  readonly lag_s: number | null;
  readonly worst: readonly {
    readonly from_s: number;
    readonly to_s: number;
    readonly rms: number;
    readonly bias: number;
  }[];
}

const UNIT_WORDS: Readonly<Record<ChannelName, string>> = {
  speed: 'km/h',
  fuel: 'g/s',
  rotor_speed: '1/min',
};

/** Channels in words. */
export const CHANNEL_WORDS: Readonly<Record<ChannelName, string>> = {
  speed: 'speed',
  fuel: 'fuel flow',
  rotor_speed: 'rotor speed',
};

/** The agreement of a log with its simulation as data. */
export function driveSheet(fitted: FittedDrive): DriveSheet {
  const { agreement, shift, figures, estimate, log } = fitted;
  const { engine } = agreement;
  return {
    schema_version: FIT_SCHEMA_VERSION,
    tool: tool(),
    fit: 'drive',
    file: fitted.file,
    case: fitted.names,
    rows: log.time.length,
    rows_outside_drive: agreement.outside,
    shift: { shift_s: shift.shift, from: shift.from, correlation: shift.correlation ?? null },
    start_rotor_speed_rpm: fitted.rotorSpeed / RPM,
    figures: Object.fromEntries(
      Object.entries(figures).map(([name, value]) => [name, value ?? null]),
    ) as DriveSheet['figures'],
    channels: channelSheets(agreement),
    fuel_total:
      agreement.fuel === undefined
        ? null
        : {
            measured_g: agreement.fuel.measured / GRAM,
            simulated_g: agreement.fuel.simulated / GRAM,
            error_pct: figures.fuel_total_pct ?? null,
          },
    engine:
      engine === undefined
        ? null
        : {
            agreement_pct: engine.share / PERCENT,
            measured_starts: engine.measuredStarts,
            simulated_starts: engine.simulatedStarts,
            matched_starts: engine.matched,
            tolerance_s: engine.tolerance,
          },
    limits: fitted.verdicts.map((verdict) => ({ ...verdict, value: verdict.value ?? null })),
    holds: fitted.verdicts.every(({ holds }) => holds),
    estimates: estimate === undefined ? null : estimatesSheet(estimate, fitted.afterwards!),
    warnings: warningsOf(fitted),
  };
}

function channelSheets({ channels }: DriveAgreement): ChannelSheet[] {
  return channels.map(({ channel, samples, rms, bias, lag, worst }) => {
    const unit = CHANNEL_UNITS[channel];
    return {
      channel,
      unit: UNIT_WORDS[channel],
      samples,
      rms: rms / unit,
      bias: bias / unit,
      lag_s: lag === undefined || lag.atEdge ? null : lag.shift,
      worst: worst.map((stretch) => ({
        from_s: stretch.from,
        to_s: stretch.to,
        rms: stretch.rms / unit,
        bias: stretch.bias / unit,
      })),
    };
  });
}

function estimatesSheet(estimate: DriveEstimate, afterwards: DriveAgreement) {
  const { fuel } = afterwards;
  return {
    parameters: estimate.parameters.map((parameter) => ({
      path: parameter.path,
      in_file: parameter.start,
      estimate: estimateSheet(parameter.estimate, 1),
    })),
    correlation: estimate.correlation,
    confidence_pct: 100 * CONFIDENCE,
    degrees_of_freedom: estimate.degrees,
    lag_correlation: estimate.lagCorrelation,
    channels_afterwards: channelSheets(afterwards),
    fuel_total_pct_afterwards:
      fuel === undefined || fuel.measured === 0
        ? null
        : (fuel.simulated / fuel.measured - 1) / PERCENT,
  };
}

/** A lower correlation at the best lag says little. */
const LITTLE_CORRELATION = 0.7;
/** Channels that lag by more than this are off by more than the sampling [s]. */
const MUCH_LAG = 1;

function warningsOf({ shift, agreement, estimate, problems }: FittedDrive): string[] {
  const { correlation } = shift;
  const late = agreement.channels.filter(
    ({ channel, lag }) =>
      channel !== shift.from && lag !== undefined && Math.abs(lag.shift) > MUCH_LAG,
  );
  return [
    ...(correlation !== undefined && correlation < LITTLE_CORRELATION
      ? [
          `At the best lag the correlation is ${fixed(correlation, 2)}: the log may be one of another drive.`,
        ]
      : []),
    ...late.map(({ channel, lag }) =>
      lag!.atEdge
        ? `The ${CHANNEL_WORDS[channel]} fits best at the edge of the lags that were looked at: it does not follow the simulation.`
        : `The ${CHANNEL_WORDS[channel]} of the log is ${fixed(Math.abs(lag!.shift), 1)} s ${lag!.shift > 0 ? 'late' : 'early'} against the simulation: its rms has that in it.`,
    ),
    ...(estimate !== undefined && estimate.lagCorrelation > 0.3
      ? [
          `The residuals of the estimate hang together (correlation ${fixed(estimate.lagCorrelation, 2)}): more than the estimated numbers is off. The intervals are widened for it.`,
        ]
      : []),
    ...problems.map((problem) => `Estimated, but no file takes it: ${problemLine(problem)}`),
  ];
}
