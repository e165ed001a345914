import { InputError } from '../config/problem.ts';
import { orderRows } from './clean-clock.ts';
import { dropLoneRows, dropRowsWithoutSpeed, medianStep, splitAtGaps } from './clean-gaps.ts';
import {
  CHANGE,
  ChangeList,
  type CleaningReport,
  driveFigures,
  LISTED_CHANGES,
} from './clean-report.ts';
import { resampleDrive } from './clean-resampling.ts';
import { fillRoad } from './clean-road.ts';
import type { CleaningRules } from './clean-rules.ts';
import { smoothSpeed } from './clean-smoothing.ts';
import { takeOutSpikes } from './clean-spikes.ts';
import { holdStandstill, liftToZero } from './clean-standstill.ts';
import type { Drive } from './drive.ts';
import type { Range } from './motion.ts';

/** A drive that was cleaned. */
export interface CleanedDrive {
  /** The rows that stay. */
  readonly drive: Drive;
  /**
   * Stretches of rows without a gap, in order, together all rows; each has two rows at least, unless
   * the rules touch neither clock nor gaps. What the car did between two parts is not known.
   */
  readonly parts: readonly Range[];
  readonly report: CleaningReport;
}

/**
 * Cleans a logged drive, and says of each row what was done to it.
 *
 * The order: time stamps, rows without a speed, gaps, spikes, speeds below zero, standstill, missing
 * values of the road, even instants, smoothing.
 *
 * To spare memory the columns of the drive handed in are written over and shared by the one that
 * comes back: do not use the old one any more. Besides them a list of changes is kept, of some 6 MB
 * at most; only reading at even instants makes new columns.
 *
 * @param drive the log, as it was read
 * @param rules what may be done: DEFAULT_RULES, NO_CLEANING or others
 * @param listed how many changes are listed one by one; those after them are only counted
 * @returns the drive, its parts, and the report
 * @throws InputError if no two rows are left that follow each other, or if an unevenly sampled drive
 *   is to be smoothed
 */
export function clean(
  drive: Drive,
  rules: CleaningRules,
  listed: number = LISTED_CHANGES,
): CleanedDrive {
  const changes = new ChangeList(listed);
  const all = [{ first: 0, end: drive.time.length }];
  const before = driveFigures(drive, all);
  const { step, ...rows } = inOrder(drive, rules, changes);
  for (const part of rows.parts) cleanSpeed(rows.drive, part, rules, changes);
  if (rules.road === 'fill') fillRoads(rows.drive, rows.parts, changes);
  const even = atEvenInstants(rows.drive, rows.parts, rules, changes);
  if (rules.smoothing !== 'off') {
    for (const part of even.parts) smoothSpeed(even.drive, part, rules.smoothing, changes);
  }
  return {
    ...even,
    report: {
      changes: changes.changes(),
      counts: changes.counts(),
      medianStep: step,
      before,
      after: driveFigures(even.drive, even.parts),
    },
  };
}

interface Rows {
  readonly drive: Drive;
  readonly parts: readonly Range[];
}

/** Time stamps, rows without a speed, gaps; with the median step of the rows [s]. */
function inOrder(
  drive: Drive,
  rules: CleaningRules,
  changes: ChangeList,
): Rows & { readonly step: number } {
  let rows: Rows = { drive, parts: [{ first: 0, end: drive.time.length }] };
  if (rules.clock !== 'off') rows = orderRows(drive, rules.clock, changes);
  if (rules.gaps !== 'off') rows = dropRowsWithoutSpeed(rows.drive, rows.parts, changes);
  const step = medianStep(rows.drive.time);
  if (rules.gaps !== 'off') {
    rows = splitAtGaps(rows.drive, rows.parts, rules.gaps, step, changes);
  } else if (rules.clock !== 'off') {
    rows = dropLoneRows(rows.drive, rows.parts, changes);
  }
  if (rows.parts.length === 0) throw nothingLeft(drive);
  return { ...rows, step };
}

function nothingLeft(drive: Drive): InputError {
  return new InputError([
    {
      code: 'nothing-left',
      path: 'time',
      found: `${drive.time.length} rows, none of which can be joined to the next`,
      expected: 'two rows at least that follow each other in time and have a speed',
      hint: 'does time run backward, is every row a gap away from the next, or is the speed missing? Look at the time and speed columns',
    },
  ]);
}

function cleanSpeed(drive: Drive, part: Range, rules: CleaningRules, changes: ChangeList): void {
  const { spikes, belowZero, standstill } = rules;
  if (spikes !== 'off') takeOutSpikes(drive, part, spikes, changes);
  if (belowZero !== 'off') liftToZero(drive, part, belowZero, changes);
  if (standstill === 'off') return;
  if (standstill.drives === 'all' || drive.speedFrom === 'positions') {
    holdStandstill(drive, part, standstill, changes);
  }
}

function fillRoads(drive: Drive, parts: readonly Range[], changes: ChangeList): void {
  const { altitude, grade } = drive;
  for (const part of parts) {
    if (altitude) fillRoad(drive, altitude, part, CHANGE.altitudeFilled, changes);
    if (grade) fillRoad(drive, grade, part, CHANGE.gradeFilled, changes);
  }
}

function atEvenInstants(
  drive: Drive,
  parts: readonly Range[],
  rules: CleaningRules,
  changes: ChangeList,
): Rows {
  if (rules.resampling === 'off') return { drive, parts };
  const even = resampleDrive(drive, parts, rules.resampling, changes);
  const rows = dropLoneRows(even.drive, even.parts, changes);
  if (rows.parts.length === 0) throw nothingLeft(drive);
  return rows;
}
