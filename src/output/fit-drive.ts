import type { ChannelName } from '../fit/drive-agreement.ts';
import { CHANNEL_UNITS, type Verdict } from '../fit/drive-limits.ts';
import { fixed, rounded } from '../summary/numbers.ts';
import { FIT_CAUTIONS } from './cautions.ts';
import {
  CHANNEL_WORDS,
  type ChannelSheet,
  type DriveSheet,
  driveSheet,
  type FittedDrive,
  type LogShift,
} from './fit-drive-sheet.ts';
import { significant } from './fit-figures.ts';
import type { FitText, ResidualRows } from './fit-text.ts';
import type { Section } from './section.ts';

/** Limits that do not hold, a line each. */
export function missedLimitLines(verdicts: readonly Verdict[]): string[] {
  return verdicts
    .filter(({ holds }) => !holds)
    .map(({ figure, most, value }) =>
      value === undefined
        ? `limit not held: ${figure} is not known, since the log has no such channel; at most ${most} was asked for`
        : `limit not held: ${figure} is ${significant(value)}, at most ${most} was asked for`,
    );
}

/** How a log agrees with its simulation, for people. */
export function driveText(fitted: FittedDrive): FitText {
  const sheet = driveSheet(fitted);
  const { case: names } = sheet;
  return {
    title: `${sheet.file} against ${names.car} with ${names.store}, strategy ${names.strategy}, on ${names.cycle}`,
    about: [`${sheet.rows} rows; ${sheet.tool}`],
    sections: [
      agreementSection(sheet, fitted),
      ...totalSection(sheet),
      worstSection(sheet),
      ...limitSection(sheet),
      ...estimateSections(sheet),
    ],
    warnings: sheet.warnings,
    cautions: FIT_CAUTIONS,
  };
}

const SHIFT_WORDS: Readonly<Record<LogShift['from'], string>> = {
  speed: 'by the correlation of the speeds',
  rotor_speed: 'by the correlation of the rotor speeds',
  fuel: 'by the correlation of the fuel flows',
  engine_on: 'by the correlation of engine on and off',
  log: 'one clock',
  option: 'as it was set',
};

function agreementSection(sheet: DriveSheet, { shift }: FittedDrive): Section {
  const outside = sheet.rows_outside_drive;
  return {
    title: 'Simulated less measured',
    columns: ['rms', 'mean', 'lag, s'],
    rows: channelRows(sheet.channels),
    notes: [
      shift.from === 'log'
        ? 'The speed of the log is what was simulated.'
        : `The log is ${fixed(shift.shift, 2)} s late, ${SHIFT_WORDS[shift.from]}${shift.correlation === undefined ? '' : ` (${fixed(shift.correlation, 4)})`}; a lag is what is left of a channel after that.`,
      `The rotor starts with ${fixed(sheet.start_rotor_speed_rpm, 0)} 1/min.`,
      ...(outside > 0 ? [`${outside} rows lie outside of the simulated drive.`] : []),
    ],
  };
}

function channelRows(channels: readonly ChannelSheet[]): Section['rows'] {
  return channels.map(({ channel, unit, rms, bias, lag_s: lag }) => [
    `${CHANNEL_WORDS[channel]}, ${unit}`,
    fixed(rms, DECIMALS[channel]),
    fixed(bias, DECIMALS[channel]),
    fixed(lag, 2),
  ]);
}

const DECIMALS: Readonly<Record<ChannelName, number>> = { speed: 2, fuel: 4, rotor_speed: 0 };

function totalSection({ fuel_total: fuel, engine }: DriveSheet): Section[] {
  const fuelRows: Section['rows'] =
    fuel === null
      ? []
      : [
          ['fuel, g', fixed(fuel.measured_g, 1), fixed(fuel.simulated_g, 1)],
          ['  simulated above measured, %', '', fixed(fuel.error_pct, 2)],
        ];
  const engineRows: Section['rows'] =
    engine === null
      ? []
      : [
          ['engine starts', fixed(engine.measured_starts, 0), fixed(engine.simulated_starts, 0)],
          [
            `  the same within ${rounded(engine.tolerance_s)} s`,
            '',
            fixed(engine.matched_starts, 0),
          ],
          ['  rows in which on and off agree, %', '', fixed(engine.agreement_pct, 1)],
        ];
  const rows = [...fuelRows, ...engineRows];
  if (rows.length === 0) return [];
  return [{ title: 'Over the whole drive', columns: ['measured', 'simulated'], rows }];
}

function worstSection({ channels }: DriveSheet): Section {
  return {
    title: 'Worst stretches',
    columns: ['from s', 'to s', 'mean'],
    rows: channels.flatMap(({ channel, unit, worst }) =>
      worst.map(
        (stretch) =>
          [
            `${CHANNEL_WORDS[channel]}, ${unit}`,
            fixed(stretch.from_s, 1),
            fixed(stretch.to_s, 1),
            fixed(stretch.bias, DECIMALS[channel]),
          ] as const,
      ),
    ),
  };
}

function limitSection({ limits }: DriveSheet): Section[] {
  if (limits.length === 0) return [];
  return [
    {
      title: 'Limits',
      columns: ['value', 'at most', ''],
      rows: limits.map(({ figure, value, most, holds }) => [
        figure,
        value === null ? '–' : significant(value),
        significant(most),
        holds ? 'holds' : 'DOES NOT',
      ]),
    },
  ];
}

function estimateSections({ estimates }: DriveSheet): Section[] {
  if (estimates === null) return [];
  const { parameters, correlation } = estimates;
  const pairs = parameters.flatMap((a, i) =>
    parameters
      .slice(i + 1)
      .map((b, j) => `${a.path} with ${b.path} ${fixed(correlation[i]![i + 1 + j]!, 3)}`),
  );
  return [
    {
      title: 'Estimated from the log',
      columns: ['in the file', '', '± 95 %'],
      rows: parameters.map(({ path, in_file, estimate }) => [
        path,
        significant(in_file),
        significant(estimate.value, 5),
        significant(estimate.ci95, 2),
      ]),
      notes: [
        ...(pairs.length === 0 ? [] : [`Correlation: ${pairs.join(', ')}.`]),
        'The intervals know of noise. What else is off in the model goes into these numbers, and not into their intervals.',
      ],
    },
    {
      title: 'With these, simulated less measured',
      columns: ['rms', 'mean', 'lag, s'],
      rows: channelRows(estimates.channels_afterwards),
      notes:
        estimates.fuel_total_pct_afterwards === null
          ? []
          : [`Fuel over the whole drive: ${fixed(estimates.fuel_total_pct_afterwards, 2)} %.`],
    },
  ];
}

/** A row for each row of the log: measured and simulated values of every channel. */
export function driveResiduals({ agreement, log, shift }: FittedDrive): ResidualRows {
  const { channels } = agreement;
  const key: Readonly<Record<ChannelName, string>> = {
    speed: 'speed_kmh',
    fuel: 'fuel_g_per_s',
    rotor_speed: 'rotor_speed_rpm',
  };
  const cell = (value: number, unit: number) => (Number.isNaN(value) ? null : value / unit);
  return {
    headers: [
      'time_s',
      'drive_time_s',
      ...channels.flatMap(({ channel }) => [
        `measured_${key[channel]}`,
        `simulated_${key[channel]}`,
        `residual_${key[channel]}`,
      ]),
    ],
    rows: Array.from(log.time, (time, row) => [
      time,
      time - shift.clock,
      ...channels.flatMap(({ channel, measured, simulated }) => {
        const unit = CHANNEL_UNITS[channel];
        return [measured[row]!, simulated[row]!, simulated[row]! - measured[row]!].map((value) =>
          cell(value, unit),
        );
      }),
    ]),
  };
}
