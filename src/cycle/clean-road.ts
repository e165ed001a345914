import type { ChangeList } from './clean-report.ts';
import type { Drive } from './drive.ts';
import type { Range } from './motion.ts';
import { intervalDistance } from './trace.ts';

/**
 * Fills the values that a column of the road lacks: linear over distance between those on both
 * sides, held at the ends of the part. A part without any value stays as it is. In place.
 *
 * @param drive the log
 * @param values altitude or grade of its rows; written over
 * @param part rows to look at
 * @param kind CHANGE.altitudeFilled or CHANGE.gradeFilled
 * @param changes takes each value filled in
 */
export function fillRoad(
  drive: Drive,
  values: Float64Array,
  part: Range,
  kind: number,
  changes: ChangeList,
): void {
  let known: number | undefined;
  let k = part.first;
  while (k < part.end) {
    if (Number.isFinite(values[k]!)) {
      known = k++;
      continue;
    }
    let next = k;
    while (next < part.end && !Number.isFinite(values[next]!)) next++;
    if (known === undefined && next === part.end) return;
    fill(drive, values, known, next < part.end ? next : undefined, k, next);
    for (; k < next; k++) changes.add(kind, drive.time[k]!, drive.line[k]!, Number.NaN, values[k]!);
  }
}

/** Fills rows first … end − 1 between a known row before and one after, or from the only one. */
function fill(
  { time, speed }: Drive,
  values: Float64Array,
  before: number | undefined,
  after: number | undefined,
  first: number,
  end: number,
): void {
  if (before === undefined || after === undefined) {
    values.fill(values[before ?? after!]!, first, end);
    return;
  }
  let whole = 0;
  for (let k = before; k < after; k++) whole += intervalDistance(time, speed, k);
  const from = values[before]!;
  const rise = values[after]! - from;
  let driven = 0;
  for (let k = first; k < end; k++) {
    driven += intervalDistance(time, speed, k - 1);
    values[k] = from + (whole > 0 ? (rise * driven) / whole : 0);
  }
}
