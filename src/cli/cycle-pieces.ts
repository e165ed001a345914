import { existsSync, mkdirSync, rmdirSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { DriveReport } from '../config/load-drive.ts';
import { InputError } from '../config/problem.ts';
import { MIN_DISTANCE } from '../cycle/check.ts';
import type { Range } from '../cycle/motion.ts';
import { distance, type Trace } from '../cycle/trace.ts';
import { microTrips, samplesOf, splitTrips, TRIP_STANDSTILL } from '../cycle/trips.ts';
import { heightsOf } from '../output/cycle-heights.ts';
import { cycleWriter } from './cycle-inputs.ts';
import type { LoadedLog, LogPart } from './cycle-log.ts';
import { writeWhole } from './whole-file.ts';
import { writeProblem } from './write-problem.ts';

/** A piece of a log, and the name of its file. */
export interface LogPiece extends LogPart {
  readonly file: string;
}

/** What a log is parted at, besides its gaps. */
export interface Parting {
  readonly trips?: boolean;
  readonly microTrips?: boolean;
  /** Longest standstill within a trip [s]. */
  readonly longestStop?: number;
}

/**
 * The pieces of a log.
 * @returns the pieces with the names of their files, and how many are so short that they are no drive
 */
export function piecesOf(
  { name, parts }: LoadedLog,
  parting: Parting,
): { pieces: readonly LogPiece[]; leftOut: number } {
  const all = parts.flatMap((part) =>
    rangesOf(part.trace, parting).map((range) => pieceOf(part, range)),
  );
  const driven = all.filter(({ trace }) => distance(trace) >= MIN_DISTANCE);
  const digits = Math.max(2, String(driven.length).length);
  const pieces = driven.map((part, index) => ({
    ...part,
    file: `${name}-${String(index + 1).padStart(digits, '0')}.csv`,
  }));
  return { pieces, leftOut: all.length - driven.length };
}

function rangesOf(trace: Trace, { trips, microTrips: micro, longestStop }: Parting) {
  if (micro === true) return movesWithStandstill(trace);
  if (trips === true) return splitTrips(trace, longestStop ?? TRIP_STANDSTILL);
  return [{ first: 0, end: trace.time.length }];
}

/**
 * Micro-trips, each with the standstill before it and the last with that after it too. A move that is
 * too short for a drive of its own goes with the one after it, the last one with the one before.
 */
function movesWithStandstill(trace: Trace): Range[] {
  const ranges: Range[] = [];
  let first = 0;
  let driven = 0;
  for (const trip of microTrips(trace)) {
    driven += trip.distance;
    if (driven < MIN_DISTANCE) continue;
    ranges.push({ first, end: trip.end });
    first = trip.end - 1;
    driven = 0;
  }
  const last = ranges.pop();
  return [...ranges, { first: last?.first ?? 0, end: trace.time.length }];
}

function pieceOf({ trace, startAltitude }: LogPart, range: Range): LogPart {
  const piece = samplesOf(trace, range);
  if (startAltitude === undefined) return { trace: piece };
  return { trace: piece, startAltitude: heightsOf(trace, startAltitude)[range.first] };
}

/**
 * Writes each piece as a file of its own: all of them, or none.
 * @throws InputError naming the files in the way, or why one cannot be written
 */
export async function writePieces(
  text: string,
  folder: string,
  pieces: readonly LogPiece[],
  drives: readonly DriveReport[],
): Promise<void> {
  const files = pieces.map(({ file }) => join(folder, file));
  refuseExisting(files);
  const isNew = makeFolder(folder);
  const written: string[] = [];
  try {
    for (const [index, { trace, startAltitude }] of pieces.entries()) {
      const words = `from ${text}, piece ${index + 1} of ${pieces.length}`;
      await writeWhole(files[index]!, cycleWriter(trace, { words, drives, startAltitude }));
      written.push(files[index]!);
    }
  } catch (error) {
    for (const file of written) rmSync(file, { force: true });
    if (isNew) rmdirSync(folder);
    throw error;
  }
}

function refuseExisting(files: readonly string[]): void {
  const there = files.filter((file) => existsSync(file));
  if (there.length === 0) return;
  throw new InputError(
    there.map((file) => ({
      code: 'file-exists',
      file,
      found: 'a file of that name',
      expected: 'a folder without the files of these pieces: nothing was written',
      hint: 'choose another folder, or move the file away: pieces of an earlier split would mix with these',
    })),
  );
}

/** @returns whether the folder was made */
function makeFolder(folder: string): boolean {
  const existing = statSync(folder, { throwIfNoEntry: false });
  if (existing?.isDirectory() === true) return false;
  if (existing !== undefined) {
    throw new InputError([
      { code: 'no-folder', file: folder, found: 'a file', expected: 'a folder, or a name for one' },
    ]);
  }
  try {
    mkdirSync(folder);
    return true;
  } catch (error) {
    throw new InputError([writeProblem(error, folder)]);
  }
}
