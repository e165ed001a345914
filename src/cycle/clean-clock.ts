import { MIN_STEP } from './check.ts';
import { CHANGE, type ChangeList } from './clean-report.ts';
import { firstRows, moveRow } from './clean-rows.ts';
import type { ClockRules } from './clean-rules.ts';
import type { Drive } from './drive.ts';
import type { Range } from './motion.ts';

/** A drive whose time runs forward within each part. */
export interface Ordered {
  readonly drive: Drive;
  readonly parts: readonly Range[];
}

/**
 * Puts the time stamps in order: drops rows without one, rows of an instant that was there already
 * (closer than the shortest interval of a trace), rows out of order, and begins a new part where the
 * clock was set back. In place.
 *
 * @param drive the log; its columns are written over
 * @param rules what counts as a clock that was set
 * @param changes takes each row dropped and each clock set back
 */
export function orderRows(drive: Drive, rules: ClockRules, changes: ChangeList): Ordered {
  const { time, speed, line } = drive;
  const parts: Range[] = [];
  let kept = 0;
  let first = 0;
  let last = Number.NEGATIVE_INFINITY;
  for (let k = 0; k < time.length; k++) {
    const t = time[k]!;
    if (!Number.isFinite(t)) {
      changes.add(CHANGE.noTime, last, line[k]!, speed[k]!, Number.NaN);
      continue;
    }
    if (t < last - rules.setBack) {
      changes.add(CHANGE.clockSetBack, t, line[k]!, last, t);
      parts.push({ first, end: kept });
      first = kept;
    } else if (t < last + MIN_STEP) {
      const kind = t > last - MIN_STEP ? CHANGE.duplicateTime : CHANGE.backwardTime;
      changes.add(kind, t, line[k]!, speed[k]!, Number.NaN);
      continue;
    } else if (standsAhead(t, time[k + 1], last)) {
      changes.add(CHANGE.strayTime, t, line[k]!, speed[k]!, Number.NaN);
      continue;
    }
    moveRow(drive, k, kept);
    last = t;
    kept++;
  }
  parts.push({ first, end: kept });
  return { drive: firstRows(drive, kept), parts };
}

/** The row after this one is earlier than it, yet later than all before: this one is out of order. */
function standsAhead(t: number, next: number | undefined, last: number): boolean {
  return next !== undefined && next < t - MIN_STEP && next > last + MIN_STEP;
}
