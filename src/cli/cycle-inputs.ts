import { type LoadedCycle, loadCycle } from '../config/load-cycle.ts';
import type { DriveReport } from '../config/load-drive.ts';
import { InputError, type Problem, throwIfAny } from '../config/problem.ts';
import { MIN_DISTANCE, NEVER_MOVES } from '../cycle/check.ts';
import { distance, type Trace } from '../cycle/trace.ts';
import { cleaningLine } from '../output/cleaning-words.ts';
import { writePlain } from '../output/cycle-plain.ts';
import { printable } from '../output/problems.ts';
import { tool } from '../summary/tool.ts';
import { type DriveFlags, driveOptions, unusedFlags } from './drive-options.ts';
import { isOneOf } from './same-file.ts';
import { writeErr, writeOut } from './streams.ts';
import { writeWhole } from './whole-file.ts';

/**
 * Loads cycles as `run` takes them, and says what cleaning did to those that are logs.
 *
 * @param texts names of built-in cycles, files, or compositions
 * @param flags of logged drives
 * @param told what is said of a flag that changed nothing
 * @throws InputError with every problem of all of them
 */
export async function loadCycles(
  texts: readonly string[],
  flags: DriveFlags,
  told = (problem: Problem): Problem => problem,
): Promise<readonly LoadedCycle[]> {
  const problems: Problem[] = [];
  const cycles: LoadedCycle[] = [];
  for (const text of texts) {
    try {
      cycles.push(await loadCycle(text, driveOptions(flags)));
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      problems.push(...error.problems);
    }
  }
  throwIfAny(problems);
  const drives = cycles.flatMap((cycle) => cycle.drives);
  throwIfAny(unusedFlags(flags, drives).map(told));
  tellCleaning(drives);
  return cycles;
}

/** Says what was changed about logged drives. */
export function tellCleaning(drives: readonly DriveReport[]): void {
  for (const line of cleaningLines(drives)) writeErr(`${printable(line)}\n`);
}

function cleaningLines(drives: readonly DriveReport[]): string[] {
  const lines = drives.map(cleaningLine).filter((line) => line !== undefined);
  return [...new Set(lines)];
}

/**
 * Does something with cycles, and names what the user gave where it cannot be done.
 * @param text as the user gave it
 */
export function named<T>(text: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    throw new InputError(
      error.problems.map(({ path, ...problem }) => ({ ...problem, file: text })),
    );
  }
}

/** Where a cycle comes from, for the comments of its file. */
export interface Origin {
  /** What was done, in a few words: `from monday.csv`, `joined: udds + nycc`. */
  readonly words: string;
  readonly drives: readonly DriveReport[];
  /** Altitude of its first sample [m], if it is known. */
  readonly startAltitude?: number | undefined;
}

/** A cycle as text in the plain form, with comments that say where it comes from. */
export function cycleWriter(
  trace: Trace,
  { words, drives, startAltitude }: Origin,
): (write: (text: string) => void) => void {
  const comments = [`made by ${tool()} ${words}`, ...cleaningLines(drives)];
  return (write) => writePlain(trace, { comments, startAltitude }, write);
}

/**
 * Writes a cycle in the plain form.
 * @param out path, or `-` for standard output
 * @throws InputError where it cannot be written, would take the place of a file it is made from, or
 *   could not be read back because the car stands still in it
 */
export async function writeCycle(out: string, trace: Trace, origin: Origin): Promise<void> {
  refuseStandstill(trace);
  const fill = cycleWriter(trace, origin);
  if (out === '-') {
    fill(writeOut);
    return;
  }
  refuseToReplace(
    origin.drives.map((drive) => drive.file),
    out,
  );
  await writeWhole(out, fill);
}

/** A stretch of a cycle in which the car stands still is none: nothing per distance has a meaning. */
export function refuseStandstill(trace: Trace): void {
  const metres = distance(trace);
  if (metres >= MIN_DISTANCE) return;
  const found = `a stretch of ${metres.toFixed(2)} m`;
  throw new InputError([{ ...NEVER_MOVES, file: trace.name, found }]);
}

/** A file must not take the place of one that it is made from. */
export function refuseToReplace(inputs: readonly string[], out: string): void {
  if (!isOneOf(inputs, out)) return;
  throw new InputError([
    {
      code: 'replaces-input',
      file: out,
      found: 'an input of this command',
      expected: 'another file, since the result takes the place of what is there',
    },
  ]);
}
