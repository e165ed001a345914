import { CHANGE, type ChangeList } from './clean-report.ts';
import type { BelowZeroRules, StandstillRules } from './clean-rules.ts';
import type { Drive } from './drive.ts';
import type { Range } from './motion.ts';

/** Sets speeds a little below zero to 0, in place. */
export function liftToZero(
  { time, speed, line }: Drive,
  part: Range,
  rules: BelowZeroRules,
  changes: ChangeList,
): void {
  for (let k = part.first; k < part.end; k++) {
    const found = speed[k]!;
    if (!(found < 0 && found >= -rules.down)) continue;
    changes.add(CHANGE.belowZero, time[k]!, line[k]!, found, 0);
    speed[k] = 0;
  }
}

/** Sets the speeds of a car that stands but seems to creep to 0, in place. */
export function holdStandstill(
  { time, speed, line }: Drive,
  part: Range,
  rules: StandstillRules,
  changes: ChangeList,
): void {
  let start = part.first;
  while (start < part.end) {
    let end = start;
    while (end < part.end && Math.abs(speed[end]!) < rules.below) end++;
    if (end > start && time[end - 1]! - time[start]! >= rules.least) {
      for (let k = start; k < end; k++) {
        if (speed[k] === 0) continue;
        changes.add(CHANGE.standstill, time[k]!, line[k]!, speed[k]!, 0);
        speed[k] = 0;
      }
    }
    start = end + 1;
  }
}
