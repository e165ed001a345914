import { RPM } from '../config/units.ts';
import { ROTOR_SPEED, TIME } from './measured-kinds.ts';
import { column, type MeasuredTable, type TableForm, tableProblem } from './measured-table.ts';
import { greatestRise, noiseOf } from './noise.ts';
import type { SpinRun } from './spindown.ts';
import { checkTimeOrder } from './time-order.ts';

/** What a spin-down log is read for. */
export const SPINDOWN_FORM: TableForm = {
  what: 'a spin-down log',
  kinds: [TIME, ROTOR_SPEED],
  required: ['time', 'rotor_speed'],
};

/** A spin-down as it is fitted. */
export interface NamedSpin extends SpinRun {
  readonly time: Float64Array;
  readonly speed: Float64Array;
  /** Time of the first sample as logged [s] */
  readonly start: number;
  /** Samples without a time or a speed */
  readonly withoutValue: number;
  /** Samples outside of the range of speeds, those at rest among them */
  readonly outside: number;
}

const LEAST_SAMPLES = 20;
/** A smaller fall, over the speed at the start, does not tell the laws apart. */
const LEAST_DROP = 0.05;
/** Slower than this, over the speed at the start, a rotor counts as being at rest. */
const AT_REST = 0.01;
/** A rise of the speed by more than this, over the speed at the start, is no spin-down. */
const MOST_RISE = 0.01;
const NOISE_RISE = 10;
/** Highest speed of a rotor that fits a vehicle [rad/s]. */
const MOST_SPEED = 200_000 * RPM;

/**
 * Finds the spin-down in a log, from the first sample within the range to the last one before it is
 * left.
 * @param table read as `SPINDOWN_FORM`
 * @param range of rotor speeds [rad/s]
 * @param maxSpeed highest speed of the rotor, if it is known [rad/s]
 * @throws InputError that says why it cannot be used
 */
export function spinOf(
  table: MeasuredTable,
  range: { readonly from: number; readonly to: number },
  maxSpeed?: number,
): NamedSpin {
  const time = column(table, 'time');
  const speed = column(table, 'rotor_speed');
  const rows = Array.from(time, (_, row) => row).filter(
    (row) => !Number.isNaN(time[row]!) && !Number.isNaN(speed[row]!),
  );
  checkTimeOrder(table, time, rows, 'a log holds one spin-down: cut it into files');
  const used = rowsWithin(rows, speed, range);
  const run: NamedSpin = {
    time: Float64Array.from(used, (row) => time[row]! - time[used[0]!]!),
    speed: Float64Array.from(used, (row) => speed[row]!),
    start: used.length === 0 ? 0 : time[used[0]!]!,
    withoutValue: table.count - rows.length,
    outside: rows.length - used.length,
  };
  check(table, used, run, maxSpeed);
  return run;
}

function rowsWithin(
  rows: readonly number[],
  speed: Float64Array,
  { from, to }: { readonly from: number; readonly to: number },
): number[] {
  const begin = rows.findIndex((row) => speed[row]! <= from);
  if (begin < 0) return [];
  const rest = AT_REST * speed[rows[begin]!]!;
  const end = rows.findIndex((row, k) => k > begin && speed[row]! < Math.max(to, rest));
  return rows.slice(begin, end < 0 ? rows.length : end);
}

function check(
  table: MeasuredTable,
  rows: readonly number[],
  { time, speed, start }: NamedSpin,
  maxSpeed: number | undefined,
): void {
  const count = speed.length;
  const top = speed[0] ?? 0;
  const drop = top - (speed[count - 1] ?? 0);
  if (count < LEAST_SAMPLES || drop < LEAST_DROP * top) {
    throw tableProblem(table, rows[0], {
      code: 'too-few-points',
      found:
        count === 0
          ? 'no sample within the range of speeds'
          : `${count} samples, from ${rpm(top)} to ${rpm(top - drop)} 1/min`,
      expected: `${LEAST_SAMPLES} samples at least, in which the rotor slows down by ${100 * LEAST_DROP} % at least`,
      hint: 'a longer log tells the laws of drag apart; the range is set by `--from` and `--to`',
    });
  }
  const limit = maxSpeed === undefined ? MOST_SPEED : 1.2 * maxSpeed;
  if (top > limit) {
    throw tableProblem(table, rows[0], {
      code: 'unlikely-speed',
      found: `a rotor speed of ${rpm(top)} 1/min`,
      expected: `${rpm(limit)} 1/min at most${maxSpeed === undefined ? '' : ', 1.2 times the greatest speed of the store file'}`,
      hint: 'is the unit right? `--columns rotor_speed=HEADER:rpm` says it, or rad_per_s, or Hz',
    });
  }
  const rise = greatestRise(speed);
  if (rise.height > Math.max(MOST_RISE * top, NOISE_RISE * noiseOf(speed))) {
    throw tableProblem(table, rows[rise.to], {
      code: 'rising-speed',
      found: `a rotor speed that rises by ${rpm(rise.height)} 1/min from ${(start + time[rise.from]!).toFixed(1)} to ${(start + time[rise.to]!).toFixed(1)} s`,
      expected: 'a rotor that runs down by itself',
      hint: 'cut the log where the rotor was driven, or set the range with `--from` and `--to`',
    });
  }
}

function rpm(speed: number): string {
  return (speed / RPM).toFixed(0);
}
