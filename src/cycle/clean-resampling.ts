import { InputError } from '../config/problem.ts';
import { CHANGE, type ChangeList } from './clean-report.ts';
import { rowsOf } from './clean-rows.ts';
import type { ResamplingRules } from './clean-rules.ts';
import type { Drive } from './drive.ts';
import { instantCount, type Range } from './motion.ts';

/** More rows are no drive but a step far too short, or a clock that leapt; they would fill the memory. */
const MOST_ROWS = 1e8;

/**
 * Reads speed, altitude and grade at evenly spaced instants from the first row of each part on,
 * linear in time between the rows. What is left at the end of a part, shorter than a step, is cut
 * off. A row gets the line of the row at or before it. The columns are new.
 *
 * @param drive the log, in order
 * @param parts its parts
 * @param rules the step
 * @param changes takes the number of rows of each part before and after
 * @throws InputError where there would be too many rows
 */
export function resampleDrive(
  drive: Drive,
  parts: readonly Range[],
  rules: ResamplingRules,
  changes: ChangeList,
): { drive: Drive; parts: readonly Range[] } {
  const counts = parts.map(({ first, end }) => instantCount(rowsOf(drive, first, end), rules.step));
  const rows = counts.reduce((sum, count) => sum + count, 0);
  if (rows > MOST_ROWS) throw tooManyRows(rows, rules.step);
  const even: Drive = {
    name: drive.name,
    time: new Float64Array(rows),
    speed: new Float64Array(rows),
    speedFrom: drive.speedFrom,
    ...(drive.altitude && { altitude: new Float64Array(rows) }),
    ...(drive.grade && { grade: new Float64Array(rows) }),
    line: new Uint32Array(rows),
  };
  let row = 0;
  const evenParts = parts.map((part, index) => {
    const count = counts[index]!;
    const { first, end } = part;
    changes.add(CHANGE.resampled, drive.time[first]!, drive.line[first]!, end - first, count);
    resamplePart(drive, part, rules.step, even, row, count);
    row += count;
    return { first: row - count, end: row };
  });
  return { drive: even, parts: evenParts };
}

function tooManyRows(rows: number, step: number): InputError {
  return new InputError([
    {
      code: 'too-many-rows',
      path: 'time',
      found: `${rows} instants, one each ${step} s`,
      expected: `${MOST_ROWS} instants at most`,
      hint: 'take a longer step, or look for a leap of the clock in the log',
    },
  ]);
}

function resamplePart(
  drive: Drive,
  { first, end }: Range,
  step: number,
  even: Drive,
  row: number,
  count: number,
): void {
  const { time } = drive;
  const start = time[first]!;
  let k = first;
  for (let i = 0; i < count; i++) {
    const t = Math.min(start + i * step, time[end - 1]!);
    while (k < end - 2 && time[k + 1]! <= t) k++;
    const share = (t - time[k]!) / (time[k + 1]! - time[k]!);
    even.time[row + i] = t;
    even.line[row + i] = drive.line[share < 1 ? k : k + 1]!;
    even.speed[row + i] = between(drive.speed, k, share);
    if (drive.altitude && even.altitude) {
      even.altitude[row + i] = between(drive.altitude, k, share);
    }
    if (drive.grade && even.grade) even.grade[row + i] = between(drive.grade, k, share);
  }
}

function between(column: Float64Array, k: number, share: number): number {
  if (share === 1) return column[k + 1]!;
  return column[k]! + share * (column[k + 1]! - column[k]!);
}
