import { existsSync } from 'node:fs';
import { basename, extname, join } from 'node:path';
import { clean } from '../cycle/clean.ts';
import type { CleaningReport } from '../cycle/clean-report.ts';
import { type CleaningRules, DEFAULT_RULES, NO_CLEANING } from '../cycle/clean-rules.ts';
import { dialectOf } from '../cycle/dialect.ts';
import { builtInCycles, cycleFile, findBuiltInCycle } from '../cycle/library.ts';
import { PlainForm } from '../cycle/plain-form.ts';
import {
  type CycleSource,
  type Pieces,
  type ReadOptions,
  type ReadReport,
  readCycle,
  readDrive,
} from '../cycle/read.ts';
import type { Trace } from '../cycle/trace.ts';
import { type OddPart, partsOfDrive, type SmoothedRoad } from './drive-parts.ts';
import { emptyFile, isBareName, openStream } from './files.ts';
import { packageRoot } from './package-root.ts';
import { InputError, type Problem } from './problem.ts';
import { unknownName } from './unknown-name.ts';

export type { OddPart, SmoothedRoad } from './drive-parts.ts';

/** How a drive is loaded. */
export interface DriveOptions {
  /** How the file is written, so far as that cannot be seen in it; a file that needs this is a log. */
  readonly read?: ReadOptions | undefined;
  /**
   * Whether the drive is cleaned. Left out, a log is and a cycle in the plain form is not. A built-in
   * cycle never is.
   */
  readonly clean?: boolean | undefined;
  /** What else may be done to it than DEFAULT_RULES say. */
  readonly rules?: Partial<CleaningRules> | undefined;
}

/** What was found and done when a drive was loaded. */
export interface DriveReport {
  /** Name of a built-in cycle, or path of a file, as it was given. */
  readonly file: string;
  /** Short name for results. */
  readonly name: string;
  /** `plain`: a table in the plain form, which can be driven as it stands. */
  readonly form: 'built-in' | 'plain' | 'log';
  /** Of a log, and of a plain file that is cleaned. */
  readonly reading?: ReadReport;
  /** If it was cleaned. */
  readonly cleaning?: CleaningReport;
  /** If it was cleaned and its road comes from altitude. */
  readonly altitude?: SmoothedRoad;
  /** Parts that were left out, or whose altitude was not used. */
  readonly oddParts: readonly OddPart[];
}

/** A drive that was loaded. */
export interface LoadedDrive extends DriveReport {
  /** One trace, or several where the log has gaps that were not bridged or its clock was set back. */
  readonly parts: readonly Trace[];
}

/** What a file of a drive should be, for messages. */
const WHAT = 'a drive: a table of time and speed, or a GPX track';
/** So much of a file is looked at, at most, to tell a cycle from a log [bytes]. */
const LOOKED_AT = 1 << 22;
/** What cleaning could mend in a cycle that is refused. */
const MENDABLE = ['time-order', 'negative-speed', 'altitude-at-rest', 'too-steep'];
/** A cell in which nothing was logged. */
const NO_VALUE = /^(?:|-|--|n\/?a|nan|none|null)$/i;

/**
 * Loads a drive: a built-in cycle, a cycle in the plain form, or a logged drive in any form that
 * `readDrive` takes. A file is read once, as it comes, so that a pipe will do.
 *
 * A cycle in the plain form is driven as it stands; a log is cleaned, its altitude is smoothed over
 * distance, and parts that are too short to say anything are left out.
 *
 * @param nameOrPath name of a built-in cycle, else a path; a file that is called as a built-in cycle
 *   is reached with its folder, as `./udds`
 * @param options how it is written, and what may be done to it
 * @throws InputError with every problem of the file, or naming the cycles that are built in
 */
export async function loadDrive(
  nameOrPath: string,
  options: DriveOptions = {},
): Promise<LoadedDrive> {
  const builtIn = findBuiltInCycle(nameOrPath);
  if (builtIn !== undefined) {
    const { name } = builtIn;
    const path = join(packageRoot(), cycleFile(builtIn));
    const trace = await readCycle(openStream(path, WHAT), { file: path, name });
    return { file: name, name, form: 'built-in', parts: [trace], oddParts: [] };
  }
  if (isBareName(nameOrPath) && !existsSync(nameOrPath)) throw unknownCycle(nameOrPath);
  // Before anything is opened: what contradicts itself needs no file.
  inFile(nameOrPath, () => dialectOf(options.read ?? {}));
  const source = { file: nameOrPath, name: basename(nameOrPath, extname(nameOrPath)) };
  return driveFrom(openStream(source.file, WHAT), source, options);
}

/**
 * A drive from a file as it comes, as `loadDrive` loads it from a path.
 *
 * @param stream its bytes; a piece may be written over as soon as the next is asked for
 * @param source where it comes from
 * @param options how it is written, and what may be done to it
 * @throws InputError with every problem of the file
 */
export async function driveFrom(
  stream: AsyncGenerator<Uint8Array>,
  source: CycleSource,
  options: DriveOptions = {},
): Promise<LoadedDrive> {
  const { isPlain, pieces } = await looked(source.file, stream);
  const form = isPlain && !isToldHow(options.read) ? 'plain' : 'log';
  const isCleaned = options.clean ?? form === 'log';
  if (form === 'plain' && !isCleaned) {
    const trace = await readPlain(pieces, source);
    return { ...source, form, parts: [trace], oddParts: [] };
  }
  const { drive, report: reading } = await readDrive(pieces, source, options.read);
  const rules = isCleaned ? { ...DEFAULT_RULES, ...options.rules } : NO_CLEANING;
  const cleaned = inFile(source.file, () => clean(drive, rules));
  const { traces, altitude, oddParts } = partsOfDrive(
    cleaned.drive,
    cleaned.parts,
    reading,
    source.file,
    isCleaned,
  );
  return {
    ...source,
    form,
    parts: traces,
    reading,
    ...(isCleaned && { cleaning: cleaned.report }),
    ...(altitude && { altitude }),
    oddParts,
  };
}

function isToldHow({ delimiter, decimal, columns = {} }: ReadOptions = {}): boolean {
  const headers = Object.values(columns).filter((header) => header !== undefined);
  return delimiter !== undefined || decimal !== undefined || headers.length > 0;
}

/**
 * Looks at the beginning of a file.
 * @returns whether it is in the plain form, and the whole file again
 * @throws InputError if there is nothing in it
 */
async function looked(
  file: string,
  stream: AsyncGenerator<Uint8Array>,
): Promise<{ isPlain: boolean; pieces: Pieces }> {
  const form = new PlainForm();
  const head: Uint8Array[] = [];
  let length = 0;
  let isPlain: boolean | undefined;
  while (isPlain === undefined) {
    const { value, done } = await stream.next();
    if (done === true) {
      if (length === 0) throw emptyFile(file, WHAT);
      isPlain = form.end();
      break;
    }
    isPlain = form.push(value);
    // The next piece is read into the place of this one.
    head.push(value.slice());
    length += value.length;
    if (length > LOOKED_AT) isPlain ??= false;
  }
  return { isPlain, pieces: rejoined(head, stream) };
}

async function* rejoined(
  head: readonly Uint8Array[],
  rest: AsyncGenerator<Uint8Array>,
): AsyncGenerator<Uint8Array> {
  try {
    yield* head;
    yield* rest;
  } finally {
    await rest.return(undefined);
  }
}

/** Reads a cycle; where cleaning could mend what is wrong with it, the last hint says how. */
async function readPlain(pieces: Pieces, source: CycleSource): Promise<Trace> {
  try {
    return await readCycle(pieces, source);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const last = error.problems.findLastIndex(isMendable);
    throw new InputError(
      error.problems.map((problem, index) =>
        index === last ? withHint(problem, IF_LOGGED) : problem,
      ),
    );
  }
}

function isMendable({ code, found }: Problem): boolean {
  return MENDABLE.includes(code) || (code === 'not-a-number' && NO_VALUE.test(found ?? ''));
}

const IF_LOGGED =
  'if this is a logged drive, add `--clean`, or make a cycle of it with `spinledger cycle convert`';

/** Adds to a hint. */
function withHint(problem: Problem, more: string): Problem {
  const { hint } = problem;
  return { ...problem, hint: hint === undefined ? more : `${hint}; ${more}` };
}

/** Does something with the drive of a file, and names the file where it cannot be done. */
function inFile<T>(file: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    throw new InputError(
      error.problems.map((problem) => {
        const told = { ...problem, file };
        if (problem.code === 'uneven-sampling') return withHint(told, 'add `--resample SECONDS`');
        return told;
      }),
    );
  }
}

/** The error for a bare name that is neither a built-in cycle nor a file. */
export function unknownCycle(name: string): InputError {
  const names = builtInCycles.map((cycle) => cycle.name);
  const error = unknownName('cycle', name, names, 'CSV');
  if (!/[+*&\s]/.test(name)) return error;
  const hint = 'several cycles are put together with blanks round the plus, as in `2*udds + hwfet`';
  return new InputError(error.problems.map((problem) => ({ ...problem, hint })));
}
