import { SampleCheck } from '../cycle/check.ts';
import { rowsOf } from '../cycle/clean-rows.ts';
import type { Drive } from '../cycle/drive.ts';
import { cumulativeGain, smoothAltitude } from '../cycle/grade.ts';
import type { Range } from '../cycle/motion.ts';
import type { ReadReport } from '../cycle/read.ts';
import type { RoadSamples } from '../cycle/road.ts';
import { traceFromSamples } from '../cycle/samples.ts';
import { intervalDistance, type Trace } from '../cycle/trace.ts';
import { InputError, type Problem } from './problem.ts';
import { KILOMETRE, KMH, PERCENT } from './units.ts';

/** What smoothing made of the altitude of a drive; sums over its parts. */
export interface SmoothedRoad {
  /** All that the altitude rises from row to row as it was logged, noise and all [m]. */
  readonly gainBefore: number;
  /** The same after smoothing [m]. */
  readonly gainAfter: number;
  /** What the ends of the smoothed profile were off before that was spread over the distance [m]. */
  readonly endShift: number;
}

/** A part of a drive that could not be taken as it was. */
export interface OddPart {
  /**
   * - `left-out`: the car moves less than SHORTEST_PART in it
   * - `no-road`: neither grade nor altitude has any value in it, so it is taken for flat
   * - `too-steep`: it is so short that its altitudes make a slope of them that no road has, so it is
   *   taken for flat
   */
  readonly kind: 'left-out' | 'no-road' | 'too-steep';
  /** First and last instant [s]. */
  readonly from: number;
  readonly to: number;
  /** [m] */
  readonly distance: number;
}

/**
 * A part in which the car moves less than this is no drive: a log that begins or ends with a standing
 * car beside a gap [m]. Own choice.
 */
export const SHORTEST_PART = 5;

/**
 * Up to this distance smoothing makes one slope of the altitude, from the first value to the last,
 * and their noise may make it a steep one [m]: the windows of both passes over distance.
 */
const SMOOTHED_TO_A_LINE = 400;

/** More than this is no drive with an altitude but a clock that leapt [m]. */
const LONGEST_SMOOTHED = 1e8;

/** The parts of a drive as traces. */
export interface DriveParts {
  readonly traces: readonly Trace[];
  /** If the road of any part comes from smoothed altitude. */
  readonly altitude?: SmoothedRoad;
  readonly oddParts: readonly OddPart[];
}

/**
 * Makes traces of the parts of a drive. To spare memory its altitudes are written over, and the
 * traces share its times and speeds: do not use it any more.
 *
 * @param drive the log, cleaned or as it is
 * @param parts its stretches of rows without a gap
 * @param reading what was found in its file
 * @param file for messages
 * @param isCleaned whether altitude is smoothed, and short parts may be left out
 * @throws InputError with what is impossible in the rows that are left, by their lines
 */
export function partsOfDrive(
  drive: Drive,
  parts: readonly Range[],
  reading: ReadReport,
  file: string,
  isCleaned: boolean,
): DriveParts {
  const traces: Trace[] = [];
  const oddParts: OddPart[] = [];
  const sums = { gainBefore: 0, gainAfter: 0, endShift: 0 };
  let smoothed = 0;
  for (const { first, end } of parts) {
    const rows = rowsOf(drive, first, end);
    const told = (error: unknown): unknown => inFile(error, rows, reading, file);
    const odd = (kind: OddPart['kind']): void => {
      oddParts.push({ kind, from: rows.time[0]!, to: rows.time.at(-1)!, distance });
    };
    const distance = distanceOf(rows);
    if (parts.length > 1 && distance < SHORTEST_PART) {
      odd('left-out');
      continue;
    }
    const road = isCleaned ? knownRoad(rows) : loggedRoad(rows);
    if (isCleaned && road.kind === 'flat' && (rows.grade ?? rows.altitude)) odd('no-road');
    if (!isCleaned || road.kind !== 'altitude') {
      traces.push(traceOf(rows, road, told));
      continue;
    }
    refuseImpossible(rows, distance, told);
    const gainBefore = cumulativeGain(road.altitude);
    const { gain, endShift } = smoothAltitude(rows, road.altitude, road.altitude);
    const trace = smoothedTrace(rows, road, distance, told);
    if (trace === undefined) {
      odd('too-steep');
      traces.push(traceOf(rows, { kind: 'flat' }, told));
      continue;
    }
    traces.push(trace);
    sums.gainBefore += gainBefore;
    sums.gainAfter += gain.afterSecondPass;
    sums.endShift += endShift;
    smoothed++;
  }
  if (traces.length === 0) throw nowhereDriven(file, reading, parts.length);
  return { traces, ...(smoothed > 0 && { altitude: sums }), oddParts };
}

function distanceOf({ time, speed }: Drive): number {
  let distance = 0;
  for (let k = 0; k + 1 < time.length; k++) distance += intervalDistance(time, speed, k);
  return distance;
}

/** The road as it was logged; of two columns the grade, which is what a run needs. */
function loggedRoad({ grade, altitude }: Drive): RoadSamples {
  if (grade !== undefined) return { kind: 'grade', grade };
  return altitude === undefined ? { kind: 'flat' } : { kind: 'altitude', altitude };
}

/** The same, but a column without any value is none. */
function knownRoad({ grade, altitude }: Drive): RoadSamples {
  if (grade?.some(Number.isFinite)) return { kind: 'grade', grade };
  return altitude?.some(Number.isFinite) ? { kind: 'altitude', altitude } : { kind: 'flat' };
}

/**
 * Refuses what no car drives before smoothing goes through it metre by metre, which would take for
 * ever at a speed that is no speed.
 */
function refuseImpossible(rows: Drive, distance: number, told: (error: unknown) => unknown): void {
  const check = new SampleCheck('flat');
  for (let k = 0; k < rows.time.length; k++) {
    if (check.next(rows.time[k]!, rows.speed[k]!, 0).length > 0) {
      traceOf(rows, { kind: 'flat' }, told);
    }
  }
  if (distance <= LONGEST_SMOOTHED) return;
  const problem: Problem = {
    code: 'out-of-range',
    path: 'time',
    found: `${rows.time.at(-1)! - rows.time[0]!}`,
    expected: `a drive of ${LONGEST_SMOOTHED / KILOMETRE} km at most where its altitude is smoothed`,
    hint: 'has a leap of the clock been bridged?',
  };
  throw told(new InputError([problem]));
}

function traceOf(rows: Drive, road: RoadSamples, told: (error: unknown) => unknown): Trace {
  const { name, time, speed } = rows;
  try {
    return traceFromSamples({ name, time, speed, road });
  } catch (error) {
    throw told(error);
  }
}

/** Undefined where nothing is wrong but the slope that smoothing made of a short part. */
function smoothedTrace(
  rows: Drive,
  road: RoadSamples,
  distance: number,
  told: (error: unknown) => unknown,
): Trace | undefined {
  try {
    return traceOf(rows, road, told);
  } catch (error) {
    if (!(error instanceof InputError) || distance > SMOOTHED_TO_A_LINE) throw error;
    const steep = error.problems.every(({ code }) => code === 'too-steep' || code === MORE);
    if (steep) return undefined;
    throw error;
  }
}

const MORE = 'more-problems';

/** Names file, line and column of what is wrong with samples, as they stand in SI. */
function inFile(error: unknown, rows: Drive, reading: ReadReport, file: string): unknown {
  if (!(error instanceof InputError)) return error;
  return new InputError(
    error.problems.map((problem) => {
      const sample = /^(time|speed|grade|altitude)(?:\[(\d+)\])?$/.exec(problem.path ?? '');
      if (sample === null) return { ...problem, file };
      const quantity = sample[1] as 'time' | 'speed' | 'grade' | 'altitude';
      const line = sample[2] === undefined ? reading.headerLine : rows.line[Number(sample[2])]!;
      return {
        ...problem,
        ...(problem.code === 'too-steep' && { hint: STEEP_HINT }),
        file,
        line,
        path: headerOf(reading, quantity),
        ...(problem.found !== undefined && { found: inUsualUnit(quantity, problem.found) }),
      };
    }),
  );
}

const STEEP_HINT =
  'does the header name the right unit of altitude? A log without a usable altitude is read without it: `--columns` with time and speed alone';

function headerOf(reading: ReadReport, quantity: string): string {
  const column = reading.columns.find((used) => used.quantity === quantity);
  return column?.header ?? quantity;
}

/** A value in SI as people write it; the cell itself is not at hand any more. */
function inUsualUnit(quantity: 'time' | 'speed' | 'grade' | 'altitude', found: string): string {
  const value = Number(found);
  if (!Number.isFinite(value)) return 'no value';
  const rounded = (number: number): string => String(Number(number.toPrecision(12)));
  switch (quantity) {
    case 'time':
      return `${rounded(value)} s`;
    case 'speed':
      return `${rounded(value / KMH)} km/h`;
    case 'grade':
      return `${rounded(value / PERCENT)} %`;
    case 'altitude':
      return `${rounded(value)} m`;
  }
}

function nowhereDriven(file: string, reading: ReadReport, parts: number): InputError {
  const problem: Problem = {
    code: 'never-moves',
    file,
    line: reading.headerLine,
    found: `${parts} parts, all shorter than ${SHORTEST_PART} m`,
    expected: 'a drive without a gap, over some metres at least',
    hint: 'the log has many gaps: bridge longer ones with `--bridge SECONDS`',
  };
  return new InputError([problem]);
}
