import { CHANGE, type ChangeList } from './clean-report.ts';
import { firstRows, moveRow } from './clean-rows.ts';
import type { GapRules } from './clean-rules.ts';
import type { Drive } from './drive.ts';
import type { Range } from './motion.ts';

/** So many steps are looked at for their median, picked evenly: enough to tell a gap from a step. */
const STEPS_PICKED = 10_001;

/**
 * Median step of the rows [s], of up to 10 001 picked evenly, steps that do not go forward left
 * out; NaN where there is none.
 */
export function medianStep(time: Float64Array): number {
  const steps = time.length - 1;
  const stride = Math.max(1, Math.ceil(steps / STEPS_PICKED));
  const picked = new Float64Array(Math.max(0, Math.ceil(steps / stride)));
  let count = 0;
  for (let k = 0; k < steps; k += stride) {
    const step = time[k + 1]! - time[k]!;
    if (step > 0) picked[count++] = step;
  }
  const sorted = picked.subarray(0, count).sort();
  return count === 0 ? Number.NaN : 0.5 * (sorted[(count - 1) >> 1]! + sorted[count >> 1]!);
}

/** Drops the rows without a speed, in place; parts shrink with them. */
export function dropRowsWithoutSpeed(
  drive: Drive,
  parts: readonly Range[],
  changes: ChangeList,
): { drive: Drive; parts: readonly Range[] } {
  const { time, speed, line } = drive;
  let kept = 0;
  const packed = parts.map(({ first, end }) => {
    const start = kept;
    for (let k = first; k < end; k++) {
      if (Number.isFinite(speed[k]!)) moveRow(drive, k, kept++);
      else changes.add(CHANGE.noSpeed, time[k]!, line[k]!, speed[k]!, Number.NaN);
    }
    return { first: start, end: kept };
  });
  return { drive: firstRows(drive, kept), parts: packed };
}

/**
 * Ends a part at each gap that is too long to be bridged, and drops rows that are left on their own:
 * one instant is no drive. In place.
 *
 * @param drive the log, in order; its columns are written over
 * @param ordered its parts so far
 * @param rules what a gap is, and how long one may be bridged
 * @param step median step of the rows [s]
 * @param changes takes each gap and each lone row
 */
export function splitAtGaps(
  drive: Drive,
  ordered: readonly Range[],
  rules: GapRules,
  step: number,
  changes: ChangeList,
): { drive: Drive; parts: readonly Range[] } {
  const { time, line } = drive;
  const least = Math.max(rules.least, rules.steps * step);
  const parts: Range[] = [];
  for (const { first, end } of ordered) {
    let start = first;
    for (let k = first + 1; k < end; k++) {
      const before = time[k - 1]!;
      const after = time[k]!;
      // The rounding of decimals must not make a gap of a step that is just as long as the limit.
      if (!(after - before > least * (1 + 1e-9))) continue;
      const bridged = after - before <= rules.bridge * (1 + 1e-9);
      const kind = bridged ? CHANGE.gapBridged : CHANGE.gapSplit;
      changes.add(kind, before, line[k]!, before, after);
      if (bridged) continue;
      parts.push({ first: start, end: k });
      start = k;
    }
    parts.push({ first: start, end });
  }
  return dropLoneRows(drive, parts, changes);
}

/** Drops parts of a single row. */
export function dropLoneRows(
  drive: Drive,
  parts: readonly Range[],
  changes: ChangeList,
): { drive: Drive; parts: readonly Range[] } {
  const { time, speed, line } = drive;
  const packed: Range[] = [];
  let kept = 0;
  for (const { first, end } of parts) {
    if (end - first === 1) {
      changes.add(CHANGE.loneRow, time[first]!, line[first]!, speed[first]!, Number.NaN);
    } else if (end > first) {
      const start = kept;
      for (let k = first; k < end; k++) moveRow(drive, k, kept++);
      packed.push({ first: start, end: kept });
    }
  }
  return { drive: firstRows(drive, kept), parts: packed };
}
