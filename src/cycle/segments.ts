import type { Drive } from './drive.ts';

/** A piece of a drive within which the receiver logged without a break. */
export interface Segment {
  readonly firstRow: number;
  /** One past its last row, as far as it has come. */
  end: number;
  /** Its first instant [s]. */
  readonly start: number;
}

/**
 * Sorts the segments of a drive by their first instants.
 *
 * @param drive rows of the segments, one segment after the other
 * @param segments in the order of the drive
 * @returns the drive, the very same one if there is nothing to sort
 */
export function inOrderOfTime(drive: Drive, segments: readonly Segment[]): Drive {
  const order = segments.toSorted((a, b) => a.start - b.start);
  if (order.every((segment, index) => segment === segments[index])) return drive;
  const rows = new Uint32Array(drive.time.length);
  let count = 0;
  for (const { firstRow, end } of order) {
    for (let row = firstRow; row < end; row++) rows[count++] = row;
  }
  const picked = (column: Float64Array): Float64Array =>
    Float64Array.from(rows, (row) => column[row]!);
  const start = order[0]!.start;
  return {
    ...drive,
    // Seconds count from the first row, which is another one now.
    time: picked(drive.time).map((time) => time - start),
    speed: picked(drive.speed),
    ...(drive.altitude === undefined ? {} : { altitude: picked(drive.altitude) }),
    line: Uint32Array.from(rows, (row) => drive.line[row]!),
  };
}
