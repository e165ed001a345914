import { type Command, Option } from 'commander';
import type { DriveOptions, DriveReport } from '../config/load-drive.ts';
import type { Problem } from '../config/problem.ts';
import { KMH } from '../config/units.ts';
import { type CleaningRules, DEFAULT_RULES } from '../cycle/clean-rules.ts';
import { QUANTITIES, type Quantity } from '../cycle/column-names.ts';
import type { Decimal, Delimiter, ReadOptions } from '../cycle/dialect.ts';
import { SMOOTHING_METHODS, type SmoothingMethod } from '../cycle/smooth.ts';
import { columnsReader } from './columns-option.ts';
import { decimal, delimiter } from './dialect-options.ts';
import { number } from './number-argument.ts';

/** The options of logged drives, as the user gave them. */
export interface DriveFlags {
  readonly delimiter?: Delimiter;
  readonly decimal?: Decimal;
  readonly columns?: Readonly<Partial<Record<Quantity, string>>>;
  /** Undefined where neither `--clean` nor `--no-clean` is given. */
  readonly clean?: boolean;
  /** [s] */
  readonly bridge?: number;
  readonly smooth?: SmoothingMethod;
  /** [km/h] */
  readonly standstill?: number;
  /** [s] */
  readonly resample?: number;
}

/** Bounds that only keep slips of the pen out. */
const BRIDGE = { min: 0, max: 3600 } as const;
const STANDSTILL = { min: 0, max: 20 } as const;
const RESAMPLE = { min: 0.001, max: 3600 } as const;

/** Adds the options of logged drives to a command, under a heading of their own in its help. */
export function addDriveOptions(command: Command): Command {
  const options = [
    new Option('--delimiter <sign>', "between the cells: ',' ';' or tab").argParser(delimiter),
    new Option('--decimal <sign>', "decimal sign: '.' or ','").argParser(decimal),
    new Option(
      '--columns <list>',
      'headers to read, as in time=Zeit,speed=vFzg:kmh; behind a colon the unit, if the file names none',
    ).argParser(columnsReader(QUANTITIES)),
    new Option('--clean', 'clean a file that could be driven as it stands, too'),
    new Option('--no-clean', 'clean nothing: every fault is an error'),
    new Option('--bridge <seconds>', 'longest gap that is bridged (default: 3)').argParser(
      number(BRIDGE.min, BRIDGE.max, 'seconds'),
    ),
    new Option('--smooth <method>', 'smooth the speed').choices(SMOOTHING_METHODS),
    new Option('--standstill <kmh>', 'slower than this for 3 s is standing still').argParser(
      number(STANDSTILL.min, STANDSTILL.max, 'km/h'),
    ),
    new Option('--resample <seconds>', 'read the drive at even instants').argParser(
      number(RESAMPLE.min, RESAMPLE.max, 'seconds'),
    ),
  ];
  for (const option of options) command.addOption(option.helpGroup('Logged drives:'));
  return command;
}

/** What the flags ask of the loader. */
export function driveOptions(flags: DriveFlags): DriveOptions {
  return { read: readOptions(flags), clean: flags.clean, rules: rulesOf(flags) };
}

function readOptions({ delimiter, decimal, columns }: DriveFlags): ReadOptions {
  return { delimiter, decimal, columns };
}

function rulesOf({ bridge, smooth, standstill, resample }: DriveFlags): Partial<CleaningRules> {
  const { gaps, standstill: creep } = DEFAULT_RULES;
  return {
    ...(bridge !== undefined && gaps !== 'off' && { gaps: { ...gaps, bridge } }),
    ...(smooth !== undefined && { smoothing: smooth }),
    ...(standstill !== undefined &&
      creep !== 'off' && { standstill: { ...creep, below: standstill * KMH, drives: 'all' } }),
    ...(resample !== undefined && { resampling: { step: resample } }),
  };
}

const CLEANING_FLAGS = ['bridge', 'smooth', 'standstill', 'resample'] as const;
const READING_FLAGS = ['delimiter', 'decimal', 'columns'] as const;

/**
 * Ends a command whose options say that nothing is cleaned, and how.
 * @throws CommanderError
 */
export function checkDriveFlags(flags: DriveFlags, command: Command): void {
  const rule = CLEANING_FLAGS.find((flag) => flags[flag] !== undefined);
  if (flags.clean === false && rule !== undefined) {
    command.error(
      `error: '--${rule}' is a part of cleaning, and '--no-clean' leaves it out: drop one of the two`,
    );
  }
}

/**
 * Flags that were given and changed nothing: those of reading where no file was read, those of
 * cleaning where nothing was cleaned.
 * @param flags as they were given
 * @param drives what they were given for
 */
export function unusedFlags(flags: DriveFlags, drives: readonly DriveReport[]): Problem[] {
  const isRead = drives.some(({ form }) => form !== 'built-in');
  const isCleaned = drives.some(({ cleaning }) => cleaning !== undefined);
  const given = (names: readonly (keyof DriveFlags)[]): string[] =>
    names.filter((name) => flags[name] !== undefined).map((name) => `--${name}`);
  const unused = [
    ...(isRead ? [] : given(READING_FLAGS)),
    ...(isRead || flags.clean !== true ? [] : ['--clean']),
    ...(isCleaned ? [] : given(CLEANING_FLAGS)),
  ];
  return unused.map((flag) => ({
    code: 'unused-option',
    file: flag,
    found: isRead ? 'a cycle that is driven as it stands' : 'no drive but built-in cycles',
    expected: isRead ? 'a drive that is cleaned' : 'a file, since a built-in cycle is known',
    hint: isRead ? 'clean it as well with `--clean`' : `leave \`${flag}\` out`,
  }));
}
