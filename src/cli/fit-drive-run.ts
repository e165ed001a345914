import { InputError } from '../config/problem.ts';
import { EXAMPLE } from '../config/shipped.ts';
import { RPM } from '../config/units.ts';
import { QUANTITIES } from '../cycle/column-names.ts';
import { agreement } from '../fit/drive-agreement.ts';
import { estimateDrive } from '../fit/drive-estimate.ts';
import { figuresOf, verdicts } from '../fit/drive-limits.ts';
import { DRIVE_FORM, type DriveLog, driveLogOf } from '../fit/drive-log.ts';
import type { DriveSeries } from '../fit/drive-series.ts';
import { type TimeShift, timeShift } from '../fit/time-shift.ts';
import { driveResiduals, driveText, missedLimitLines } from '../output/fit-drive.ts';
import { driveSheet, type FittedDrive, type LogShift } from '../output/fit-drive-sheet.ts';
import { tellCleaning } from './cycle-inputs.ts';
import { tellDefaults } from './defaults-told.ts';
import type { DriveFitOptions } from './fit-drive.ts';
import { type AdjustableCase, adjustableCase } from './fit-drive-case.ts';
import { fitted, printFit, readTable } from './fit-print.ts';
import { GatesNotHeld } from './gates-not-held.ts';
import { ClosedPipe } from './streams.ts';

/**
 * Simulates a case, holds a log against it, and prints how they agree.
 * @throws InputError where log or case cannot be used, GatesNotHeld when all is written but a limit
 *   does not hold
 */
export async function runFitDrive(file: string, options: DriveFitOptions): Promise<void> {
  const { columns = {}, delimiter, decimal, cycle = file, limit = [], estimate = [] } = options;
  const subject = await adjustableCase({
    car: options.car ?? EXAMPLE.car,
    store: options.store ?? EXAMPLE.store,
    strategy: options.strategy ?? EXAMPLE.strategy,
    cycle,
    drive: cycle === file ? { read: { delimiter, decimal, columns: ofRoad(columns) } } : {},
    estimate,
  });
  tellDefaults(options, ['car', 'store', 'strategy']);
  tellCleaning(subject.cycle.drives);
  const table = await readTable(file, DRIVE_FORM, { ...options, columns: ofLog(columns) });
  const log = driveLogOf(table, subject.car.engine.fuel, subject.store.rotor.maxSpeed);
  const asFiled = subject.parameters.map(({ start }) => start);
  const shift = shiftOf(file, log, subject, options, cycle === file);
  const rotorSpeed = firstRotorSpeed(file, log, shift.clock, subject) ?? subject.store.initialSpeed;
  const series = subject.simulate(asFiled, rotorSpeed);
  const asked = {
    stretch: options.stretch,
    startTolerance: options.startTolerance,
    window: Math.min(options.shiftWindow, MOST_CHANNEL_LAG),
  };
  const agreed = agreement(log, shift.clock, series, asked);
  if (agreed.outside === log.time.length) throw nothingCommon(file, series);
  const estimated =
    estimate.length === 0
      ? undefined
      : fitted(file, estimate.join(', '), ESTIMATE_HINT, () =>
          estimateDrive(
            log,
            { clock: shift.clock, rotorSpeed },
            subject.parameters,
            subject.simulate,
          ),
        );
  const best = estimated?.parameters.map((parameter) => parameter.estimate.value);
  const figures = figuresOf(agreed, shift.shift);
  const result: FittedDrive = {
    file,
    names: {
      ...subject.names,
      strategy: subject.strategy.name,
      cycle: subject.cycle.name,
    },
    log,
    shift,
    rotorSpeed,
    agreement: agreed,
    figures,
    verdicts: verdicts(figures, limit),
    estimate: estimated,
    afterwards: best && agreement(log, shift.clock, subject.simulate(best, rotorSpeed), asked),
    problems: best === undefined ? [] : subject.problemsWith(best),
  };
  const missed = missedLimitLines(result.verdicts);
  try {
    await printFit(
      {
        sheet: () => driveSheet(result),
        text: () => driveText(result),
        residuals: () => driveResiduals(result),
      },
      options,
    );
  } catch (error) {
    // Whoever reads the first lines alone must not make a limit hold.
    if (!(error instanceof ClosedPipe) || missed.length === 0) throw error;
  }
  if (missed.length > 0) throw new GatesNotHeld(missed.join('\n'));
}

/** Farthest that a channel of its own is looked for: meters and buses lag by seconds [s]. */
const MOST_CHANNEL_LAG = 10;
const ESTIMATE_HINT =
  'estimate fewer numbers, or log more: fuel flow for mass and road load, rotor speed for the store';

/** Headers that the loader of cycles knows, and those of the log. */
function ofRoad(columns: Readonly<Record<string, string>>) {
  return only(columns, (name) => QUANTITIES.some((known) => known === name));
}

function ofLog(columns: Readonly<Record<string, string>>) {
  return only(columns, (name) => DRIVE_FORM.kinds.some(({ quantity }) => quantity === name));
}

function only(
  columns: Readonly<Record<string, string>>,
  isKept: (name: string) => boolean,
): Record<string, string> {
  return Object.fromEntries(Object.entries(columns).filter(([name]) => isKept(name)));
}

/** How far the clock of the log is off that of the simulation, which begins with 0. */
function shiftOf(
  file: string,
  log: DriveLog,
  subject: AdjustableCase,
  { shift: set, shiftWindow: window }: DriveFitOptions,
  sharesClock: boolean,
): LogShift {
  const origin = sharesClock ? subject.cycle.value.time[0]! : log.time[0]!;
  if (set !== undefined) return { shift: set, clock: origin + set, from: 'option' };
  if (sharesClock) return { shift: 0, clock: origin, from: 'log' };
  const asFiled = subject.parameters.map(({ start }) => start);
  const series = subject.simulate(asFiled, subject.store.initialSpeed);
  const time = log.time.map((t) => t - origin);
  const find = (values: Float64Array | undefined, of: (t: number) => number) =>
    values && timeShift(time, values, of, series.duration, window, log.step);
  const flow = (t: number) => (series.burned(t + log.step) - series.burned(t)) / log.step;
  const found =
    named(
      'speed',
      find(log.speed, (t) => series.speed(t)),
    ) ??
    named(
      'rotor_speed',
      find(log.rotorSpeed, (t) => series.rotorSpeed(t)),
    ) ??
    named('fuel', find(log.fuel, flow)) ??
    named(
      'engine_on',
      find(log.engineOn, (t) => series.engineOn(t)),
    );
  if (found === undefined) throw noShift(file);
  if (found.atEdge) throw shiftAtEdge(file, found, window);
  const { shift, correlation, from } = found;
  return { shift, clock: origin + shift, from, correlation };
}

function named<From extends string>(from: From, found: TimeShift | undefined) {
  return found && { ...found, from };
}

function shiftAtEdge(file: string, { shift, correlation }: TimeShift, window: number): InputError {
  return new InputError([
    {
      code: 'shift-at-edge',
      file,
      found: `a lag of ${shift.toFixed(1)} s, at the edge of the window, with a correlation of ${correlation.toFixed(3)}`,
      expected: `a best lag between -${window} and ${window} s`,
      hint: 'is this the log of another drive? If not, widen `--shift-window`, or set `--shift`',
    },
  ]);
}

function noShift(file: string): InputError {
  return new InputError([
    {
      code: 'no-shift',
      file,
      found: 'no channel that changes in both log and simulation',
      expected: 'one by whose correlation the lag can be found',
      hint: 'set the lag with `--shift`',
    },
  ]);
}

function nothingCommon(file: string, series: DriveSeries): InputError {
  return new InputError([
    {
      code: 'nothing-common',
      file,
      found: 'no row within the simulated drive',
      expected: `rows within the ${series.duration.toFixed(0)} s that are simulated`,
      hint: 'mend `--shift`',
    },
  ]);
}

/** First rows of the drive whose middle value is taken for the start. */
const FIRST_ROWS = 3;
/** A rotor above its greatest speed by more than noise. */
const SLACK = 1.01;

/** Rotor speed with which the log begins, undefined where it has none. */
function firstRotorSpeed(
  file: string,
  { time, rotorSpeed }: DriveLog,
  clock: number,
  { store: { rotor } }: AdjustableCase,
): number | undefined {
  if (rotorSpeed === undefined) return undefined;
  const first = Array.from(rotorSpeed)
    .filter((value, row) => time[row]! >= clock && !Number.isNaN(value))
    .slice(0, FIRST_ROWS)
    .toSorted((a, b) => a - b);
  const middle = first[first.length >> 1];
  if (middle === undefined) return undefined;
  if (middle > SLACK * rotor.maxSpeed) {
    throw new InputError([
      {
        code: 'out-of-range',
        file,
        path: 'rotor_speed',
        found: `${(middle / RPM).toFixed(0)} 1/min at the start`,
        expected: `${(rotor.maxSpeed / RPM).toFixed(0)} 1/min at most, the greatest speed of the store file`,
      },
    ]);
  }
  return Math.min(Math.max(middle, 0), rotor.maxSpeed);
}
