import { CHANGE, type ChangeList } from './clean-report.ts';
import type { SpikeRules } from './clean-rules.ts';
import type { Drive } from './drive.ts';
import type { Range } from './motion.ts';

/**
 * Takes out spikes: where the speed jumps faster than a car can and jumps back the other way soon
 * after, the samples in between are put on the straight line between the good ones. A jump without
 * a way back is reported and left. In place.
 *
 * @param drive the log; its speeds are written over
 * @param part rows to look at
 * @param rules what a car can do, and how far apart good samples may be
 * @param changes takes each sample put elsewhere and each jump left
 */
export function takeOutSpikes(
  drive: Drive,
  part: Range,
  rules: SpikeRules,
  changes: ChangeList,
): void {
  const { time, speed, line } = drive;
  let k = part.first + 1;
  while (k < part.end) {
    const jump = jumpBetween(drive, k - 1, k, rules);
    if (jump === 0) {
      k++;
      continue;
    }
    const good = goodSampleAfter(drive, part, k, jump, rules);
    if (good === undefined) {
      changes.add(CHANGE.jump, time[k]!, line[k]!, speed[k - 1]!, speed[k]!);
      k++;
      continue;
    }
    const start = time[k - 1]!;
    const from = speed[k - 1]!;
    const slope = (speed[good]! - from) / (time[good]! - start);
    for (; k < good; k++) {
      const straight = from + slope * (time[k]! - start);
      changes.add(CHANGE.spike, time[k]!, line[k]!, speed[k]!, straight);
      speed[k] = straight;
    }
  }
}

/** 1 where the speed jumps up from a row to a later one faster than a car can, -1 down, else 0. */
function jumpBetween({ time, speed }: Drive, from: number, to: number, rules: SpikeRules): number {
  const step = speed[to]! - speed[from]!;
  if (Math.abs(step) <= rules.resolution) return 0;
  const acceleration = step / (time[to]! - time[from]!);
  if (acceleration > rules.acceleration) return 1;
  return acceleration < -rules.deceleration ? -1 : 0;
}

/** First row after a jump to k that is reached by a jump back and could be reached from before k. */
function goodSampleAfter(
  drive: Drive,
  part: Range,
  k: number,
  jump: number,
  rules: SpikeRules,
): number | undefined {
  const limit = drive.time[k - 1]! + rules.bridge * (1 + 1e-9);
  for (let good = k + 1; good < part.end && drive.time[good]! <= limit; good++) {
    if (jumpBetween(drive, good - 1, good, rules) !== -jump) continue;
    if (jumpBetween(drive, k - 1, good, rules) === 0) return good;
  }
  return undefined;
}
