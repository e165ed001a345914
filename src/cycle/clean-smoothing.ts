import { InputError } from '../config/problem.ts';
import { medianStep } from './clean-gaps.ts';
import { CHANGE, type ChangeList } from './clean-report.ts';
import type { Drive } from './drive.ts';
import type { Range } from './motion.ts';
import { type SmoothingMethod, smooth } from './smooth.ts';

/** A step may differ from the median one by this share and still be called even. Own choice. */
const EVEN_WITHIN = 0.1;

/**
 * Smooths the speed of a part, in place. A parabola may dip below zero beside a stop: such a speed
 * becomes 0.
 *
 * @param drive the log; its speeds are written over
 * @param part rows to smooth
 * @param method how
 * @param changes takes each sample that becomes another, and each dip below zero
 * @throws InputError if the part is unevenly sampled, with the line of the first odd step
 */
export function smoothSpeed(
  drive: Drive,
  { first, end }: Range,
  method: SmoothingMethod,
  changes: ChangeList,
): void {
  const { time, speed, line } = drive;
  refuseUneven(drive, first, end, method);
  smooth(speed.subarray(first, end), method, (index, before, after) => {
    const row = first + index;
    changes.add(CHANGE.smoothed, time[row]!, line[row]!, before, after);
  });
  for (let k = first; k < end; k++) {
    if (!(speed[k]! < 0)) continue;
    changes.add(CHANGE.belowZero, time[k]!, line[k]!, speed[k]!, 0);
    speed[k] = 0;
  }
}

function refuseUneven(drive: Drive, first: number, end: number, method: SmoothingMethod): void {
  const { time, line } = drive;
  const step = medianStep(time.subarray(first, end));
  for (let k = first + 1; k < end; k++) {
    const found = time[k]! - time[k - 1]!;
    if (Math.abs(found - step) <= EVEN_WITHIN * step) continue;
    throw new InputError([
      {
        code: 'uneven-sampling',
        line: line[k]!,
        path: 'time',
        found: `a step of ${rounded(found)} s`,
        expected: `steps of ${rounded(step)} s within ${100 * EVEN_WITHIN} %, because \`${method}\` counts samples and not seconds`,
        hint: `read the log at even instants first, for example every ${rounded(step)} s, then smooth it`,
      },
    ]);
  }
}

function rounded(value: number): number {
  return Number(value.toPrecision(4));
}
