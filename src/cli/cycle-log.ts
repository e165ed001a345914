import { existsSync } from 'node:fs';
import { basename, extname } from 'node:path';
import { partsOfDrive } from '../config/drive-parts.ts';
import { openStream } from '../config/files.ts';
import { loadCycle } from '../config/load-cycle.ts';
import type { DriveOptions, DriveReport } from '../config/load-drive.ts';
import { InputError, type Problem } from '../config/problem.ts';
import { clean } from '../cycle/clean.ts';
import { DEFAULT_RULES, NO_CLEANING } from '../cycle/clean-rules.ts';
import type { Drive } from '../cycle/drive.ts';
import { findBuiltInCycle } from '../cycle/library.ts';
import type { Range } from '../cycle/motion.ts';
import { readDrive } from '../cycle/read.ts';
import type { Trace } from '../cycle/trace.ts';

/** A part of a log without a gap. */
export interface LogPart {
  readonly trace: Trace;
  /** Altitude of its first sample [m], if the log has it. */
  readonly startAltitude?: number | undefined;
}

/** A file that was read as a logged drive, as far as that went. */
export interface Log extends DriveReport {
  readonly parts: readonly LogPart[];
  /** Why it cannot be used; none if it can. */
  readonly problems: readonly Problem[];
}

/** What a file of a drive should be, for messages. */
const WHAT = 'a drive: a table of time and speed, or a GPX track';

/**
 * Reads a file as a logged drive, cleaned unless the options say otherwise, whatever its form. What
 * cannot be used is no error here: all that was found on the way is kept.
 *
 * @param file path
 * @param options how it is written, and what may be done to it
 * @param listed how many changes are listed one by one
 */
export async function readLog(file: string, options: DriveOptions, listed: number): Promise<Log> {
  let report: DriveReport = {
    file,
    name: basename(file, extname(file)),
    form: 'log',
    oddParts: [],
  };
  try {
    const { drive, report: reading } = await readDrive(
      openStream(file, WHAT),
      report,
      options.read,
    );
    report = { ...report, reading };
    const isCleaned = options.clean !== false;
    const rules = isCleaned ? { ...DEFAULT_RULES, ...options.rules } : NO_CLEANING;
    const cleaned = clean(drive, rules, listed);
    if (isCleaned) report = { ...report, cleaning: cleaned.report };
    const { traces, ...rest } = partsOfDrive(
      cleaned.drive,
      cleaned.parts,
      reading,
      file,
      isCleaned,
    );
    return {
      ...report,
      ...rest,
      parts: withStarts(traces, cleaned.drive, cleaned.parts),
      problems: [],
    };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return { ...report, parts: [], problems: error.problems.map((problem) => told(problem, file)) };
  }
}

/** Names the file, and the flag that helps. */
function told(problem: Problem, file: string): Problem {
  const { code, hint } = problem;
  if (code !== 'uneven-sampling') return { file, ...problem };
  return { file, ...problem, hint: `${hint ?? ''}; add \`--resample SECONDS\`` };
}

/** Traces come in the order of their stretches, but some stretches give none. */
function withStarts(
  traces: readonly Trace[],
  { time, altitude }: Drive,
  stretches: readonly Range[],
): LogPart[] {
  const rest = [...stretches];
  return traces.map((trace) => {
    let stretch = rest.shift();
    const isOf = ({ first, end }: Range): boolean =>
      time[first] === trace.time[0] && end - first === trace.time.length;
    while (stretch !== undefined && !isOf(stretch)) stretch = rest.shift();
    const start = stretch === undefined ? undefined : altitude?.[stretch.first];
    return { trace, startAltitude: Number.isFinite(start) ? start : undefined };
  });
}

/** A drive that is to be worked on: its parts, and what was done to it. */
export interface LoadedLog {
  readonly name: string;
  readonly parts: readonly LogPart[];
  readonly drives: readonly DriveReport[];
}

/**
 * Loads what the user names as a logged drive: a file of any form, cleaned unless the options say
 * otherwise, or else a built-in cycle or a composition.
 *
 * @throws InputError with every problem of it
 */
export async function loadLog(text: string, options: DriveOptions): Promise<LoadedLog> {
  // A built-in name goes before a file of that name, as everywhere.
  if (findBuiltInCycle(text) !== undefined || !existsSync(text)) {
    const { name, value, drives } = await loadCycle(text, {
      ...options,
      clean: options.clean ?? true,
    });
    return { name, parts: [{ trace: value }], drives };
  }
  const { parts, problems, ...report } = await readLog(text, options, 0);
  if (problems.length > 0) throw new InputError(problems);
  return { name: report.name, parts, drives: [report] };
}
