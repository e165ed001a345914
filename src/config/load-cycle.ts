import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import { MIN_DISTANCE, NEVER_MOVES } from '../cycle/check.ts';
import { type Composition, compose, parseComposition } from '../cycle/composition.ts';
import { findBuiltInCycle } from '../cycle/library.ts';
import { distance, type Trace } from '../cycle/trace.ts';
import { isBareName, namedFrom } from './files.ts';
import type { Loaded } from './load.ts';
import { type DriveOptions, type DriveReport, loadDrive, unknownCycle } from './load-drive.ts';
import { InputError, type Problem } from './problem.ts';
import { severalParts } from './several-parts.ts';

/** A cycle, resolved and ready to run. */
export interface LoadedCycle extends Loaded<Trace> {
  /** What was found and done when its drives were loaded, in the order in which they are named. */
  readonly drives: readonly DriveReport[];
}

/**
 * Loads a drive cycle.
 *
 * @param text a drive as `loadDrive` takes it, or several in one text, such as `2*udds + 'my log.csv'`
 *   (`Composition`); an existing file goes before a composition
 * @param options how its files are written, and what may be done to them
 * @param from folder of the file that names the cycle; left out for the command line
 * @returns the trace; it is known by its numbers, whatever names and options they came from
 * @throws InputError with every problem of its files, or naming the cycles that are built in; and for
 *   a log in several parts
 */
export async function loadCycle(
  text: string,
  options: DriveOptions = {},
  from?: string,
): Promise<LoadedCycle> {
  const composition = inText(text, () => compositionOf(text, from));
  const traces = new Map<string, Trace>();
  const drives: DriveReport[] = [];
  const problems: Problem[] = [];
  for (const name of new Set(composition.parts.map((part) => part.name))) {
    try {
      const { parts, ...report } = await loadDrive(drivePath(name, from), options);
      if (parts.length > 1) problems.push(severalParts(name, parts));
      traces.set(name, parts[0]!);
      drives.push(report);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      problems.push(...error.problems);
    }
  }
  if (problems.length > 0) throw new InputError(problems);
  const value = inText(text, () => {
    const trace = compose(composition, (name) => traces.get(name)!);
    const metres = distance(trace);
    if (metres >= MIN_DISTANCE) return trace;
    throw new InputError([{ ...NEVER_MOVES, found: `a stretch of ${metres.toFixed(2)} m` }]);
  });
  return { value, name: value.name, identity: cycleIdentity(value), drives };
}

/** What a cycle is known by: the numbers of its trace, whatever its name and the place of its file. */
export function cycleIdentity(trace: Trace): { readonly sha256: string } {
  return { sha256: digest(trace) };
}

/** A drive that a file names, from the folder of that file. */
function drivePath(name: string, from: string | undefined): string {
  if (from === undefined || findBuiltInCycle(name) !== undefined) return name;
  const path = namedFrom(from, name);
  if (isBareName(name) && !existsSync(path)) throw unknownCycle(name);
  // Without its folder it would be taken for the name of a cycle.
  return isBareName(path) ? `./${path}` : path;
}

/** A file whose name could be taken for more is still a file. */
function compositionOf(text: string, from = ''): Composition {
  if (!existsSync(namedFrom(from, text))) return parseComposition(text);
  return { text, parts: [{ name: text, text, once: text, times: 1, factor: 1 }] };
}

/** Does something with a composition, and names it where that cannot be done. */
function inText<T>(text: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    throw new InputError(error.problems.map((problem) => ({ file: text, ...problem })));
  }
}

/** A digest of the numbers of a trace, in its own order; nothing is copied. */
function digest(trace: Trace): string {
  const hash = createHash('sha256');
  for (const column of [trace.time, trace.speed, trace.climb, trace.level]) hash.update(column);
  return hash.digest('hex');
}
