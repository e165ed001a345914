import { intervalWork, REFERENCE_LOAD } from './cycle-energy.ts';
import type { Drive } from './drive.ts';
import type { Motion, Range } from './motion.ts';
import { intervalDistance } from './trace.ts';

/**
 * Everything that cleaning does or finds. Inside the lists a kind is its index here; `before` and
 * `after` are speeds [m/s], but for:
 * - no-time, duplicate-time, stray-time, backward-time, no-speed, lone-row: the row was dropped;
 *   `before` is its speed, `after` is NaN
 * - clock-set-back, gap-bridged, gap-split: `before` is the last instant before it, `after` the
 *   first instant after it [s]
 * - altitude-filled [m], grade-filled [tan θ]: `before` is NaN
 * - resampled: numbers of rows of a part
 * - jump: nothing was changed; `before` and `after` are the speeds on both sides of the jump
 */
export const CHANGE_KINDS = [
  'no-time',
  'duplicate-time',
  'stray-time',
  'backward-time',
  'clock-set-back',
  'no-speed',
  'gap-bridged',
  'gap-split',
  'lone-row',
  'spike',
  'jump',
  'below-zero',
  'standstill',
  'altitude-filled',
  'grade-filled',
  'resampled',
  'smoothed',
] as const;

/** Name of a kind of change. */
export type ChangeKind = (typeof CHANGE_KINDS)[number];

/** Index of each kind. */
export const CHANGE = {
  noTime: 0,
  duplicateTime: 1,
  strayTime: 2,
  backwardTime: 3,
  clockSetBack: 4,
  noSpeed: 5,
  gapBridged: 6,
  gapSplit: 7,
  loneRow: 8,
  spike: 9,
  jump: 10,
  belowZero: 11,
  standstill: 12,
  altitudeFilled: 13,
  gradeFilled: 14,
  resampled: 15,
  smoothed: 16,
} as const;

/**
 * So many changes are listed one by one, some 6 MB; those after them are only counted. Smoothing
 * comes last and touches nearly every row, so it is the first to be counted only.
 */
export const LISTED_CHANGES = 200_000;

/** Changes one by one, in the order of the file: columns of equal length. */
export interface Changes {
  /** Instant of the row [s]. */
  readonly time: Float64Array;
  /** Line of the file. */
  readonly line: Uint32Array;
  /** Index into CHANGE_KINDS. */
  readonly kind: Uint8Array;
  readonly before: Float64Array;
  readonly after: Float64Array;
  /** Changes that are counted but not listed, because the list is full. */
  readonly unlisted: number;
}

/** Gathers changes as they are made. */
export class ChangeList {
  readonly #listed: number;
  readonly #counts = new Float64Array(CHANGE_KINDS.length);
  #time = new Float64Array(64);
  #line = new Uint32Array(64);
  #kind = new Uint8Array(64);
  #before = new Float64Array(64);
  #after = new Float64Array(64);
  #count = 0;
  #total = 0;

  /** @param listed how many changes are kept one by one */
  constructor(listed: number) {
    this.#listed = listed;
  }

  add(kind: number, time: number, line: number, before: number, after: number): void {
    this.#counts[kind]!++;
    this.#total++;
    const i = this.#count;
    if (i >= this.#listed) return;
    if (i === this.#time.length) this.#grow(Math.min(2 * i, this.#listed));
    this.#time[i] = time;
    this.#line[i] = line;
    this.#kind[i] = kind;
    this.#before[i] = before;
    this.#after[i] = after;
    this.#count++;
  }

  #grow(size: number): void {
    const wider = (column: Float64Array): Float64Array<ArrayBuffer> => {
      const grown = new Float64Array(size);
      grown.set(column);
      return grown;
    };
    this.#time = wider(this.#time);
    this.#before = wider(this.#before);
    this.#after = wider(this.#after);
    const line = new Uint32Array(size);
    line.set(this.#line);
    this.#line = line;
    const kind = new Uint8Array(size);
    kind.set(this.#kind);
    this.#kind = kind;
  }

  /** The changes in the order of the file; on one line in the order in which they were made. */
  changes(): Changes {
    const order = Uint32Array.from({ length: this.#count }, (_, i) => i);
    order.sort((a, b) => this.#line[a]! - this.#line[b]! || a - b);
    return {
      time: Float64Array.from(order, (i) => this.#time[i]!),
      line: Uint32Array.from(order, (i) => this.#line[i]!),
      kind: Uint8Array.from(order, (i) => this.#kind[i]!),
      before: Float64Array.from(order, (i) => this.#before[i]!),
      after: Float64Array.from(order, (i) => this.#after[i]!),
      unlisted: this.#total - this.#count,
    };
  }

  counts(): Record<ChangeKind, number> {
    const counts = {} as Record<ChangeKind, number>;
    for (const [index, kind] of CHANGE_KINDS.entries()) counts[kind] = this.#counts[index]!;
    return counts;
  }
}

/** What cleaning can change about a drive as a whole. */
export interface DriveFigures {
  readonly rows: number;
  readonly parts: number;
  /** Sum of the intervals [s]. */
  readonly duration: number;
  /** [m] */
  readonly distance: number;
  /** Highest of the intervals [m/s²]; 0 if none accelerates. */
  readonly maxAcceleration: number;
  /** Highest of the intervals, as a positive number [m/s²]. */
  readonly maxDeceleration: number;
  /** Positive wheel work of the reference car on the flat over the distance [J/m]; NaN without a distance. */
  readonly tractionPerDistance: number;
}

/** What cleaning did. */
export interface CleaningReport {
  readonly changes: Changes;
  /** How often each kind occurred, listed or not. */
  readonly counts: Readonly<Record<ChangeKind, number>>;
  /** Median step of the rows [s], of up to 10 001 steps picked evenly. */
  readonly medianStep: number;
  /** The log as it was read, in one part. */
  readonly before: DriveFigures;
  /** The cleaned parts; what lies between parts is no part of the drive. */
  readonly after: DriveFigures;
}

/**
 * Figures of a drive. Rows without time or speed are passed over, and steps that do not go forward
 * in time are left out, so that a raw log has figures too.
 */
export function driveFigures(drive: Drive, parts: readonly Range[]): DriveFigures {
  const sums = { duration: 0, distance: 0, maxAcceleration: 0, maxDeceleration: 0, traction: 0 };
  const step = { time: new Float64Array(2), speed: new Float64Array(2) };
  for (const { first, end } of parts) {
    step.time[0] = Number.NaN;
    for (let k = first; k < end; k++) {
      const time = drive.time[k]!;
      const speed = drive.speed[k]!;
      if (!Number.isFinite(time) || !Number.isFinite(speed)) continue;
      step.time[1] = time;
      step.speed[1] = speed;
      if (time > step.time[0]!) addInterval(sums, step);
      step.time[0] = time;
      step.speed[0] = speed;
    }
  }
  const { traction, ...rest } = sums;
  const tractionPerDistance = traction / sums.distance;
  return { rows: drive.time.length, parts: parts.length, ...rest, tractionPerDistance };
}

interface Sums {
  duration: number;
  distance: number;
  maxAcceleration: number;
  maxDeceleration: number;
  traction: number;
}

function addInterval(sums: Sums, step: Motion): void {
  const dt = step.time[1]! - step.time[0]!;
  const acceleration = (step.speed[1]! - step.speed[0]!) / dt;
  const work = intervalWork(step, 0, REFERENCE_LOAD);
  sums.duration += dt;
  sums.distance += intervalDistance(step.time, step.speed, 0);
  if (acceleration > sums.maxAcceleration) sums.maxAcceleration = acceleration;
  if (-acceleration > sums.maxDeceleration) sums.maxDeceleration = -acceleration;
  if (work > 0) sums.traction += work;
}
