import type { Drive } from './drive.ts';

/** Moves a row to an earlier place, so that what stays is packed towards the start. */
export function moveRow(drive: Drive, from: number, to: number): void {
  if (from === to) return;
  drive.time[to] = drive.time[from]!;
  drive.speed[to] = drive.speed[from]!;
  drive.line[to] = drive.line[from]!;
  if (drive.altitude !== undefined) drive.altitude[to] = drive.altitude[from]!;
  if (drive.grade !== undefined) drive.grade[to] = drive.grade[from]!;
}

/** The first rows of a drive, over the same memory. */
export function firstRows(drive: Drive, count: number): Drive {
  if (count === drive.time.length) return drive;
  return rowsOf(drive, 0, count);
}

/**
 * A stretch of a drive as a drive of its own, over the same memory: nothing is copied.
 *
 * @param drive the whole drive
 * @param first first row
 * @param end one past the last row
 */
export function rowsOf(drive: Drive, first: number, end: number): Drive {
  const { name, time, speed, speedFrom, altitude, grade, line } = drive;
  return {
    name,
    time: time.subarray(first, end),
    speed: speed.subarray(first, end),
    speedFrom,
    ...(altitude && { altitude: altitude.subarray(first, end) }),
    ...(grade && { grade: grade.subarray(first, end) }),
    line: line.subarray(first, end),
  };
}
