import type { Curve } from '../study/curves.ts';
import { boundOf, type CycleFuel, type RankedRow, savingOf } from '../study/ranking.ts';
import { type PlacedRow, type StudyReport, shownRows } from './study-report.ts';

/** Rows and curves that the document lists, at most: all cases stand in `results.jsonl`. */
const ROWS = 1000;
const CURVES = 100;

/**
 * The document that `study --format json` prints: the manifest, and what the cases come to together.
 * It stays small however many cases there are.
 * @param manifest of the study, as in its folder
 * @param report
 */
export function studyJson(manifest: object, { ranking, curves }: StudyReport): object {
  const { varied, tolerance, cycles, rows, best, worst, failures } = ranking;
  const shown = shownRows(ranking, ROWS);
  const place = (placed: PlacedRow) => placedRow(varied, placed);
  return {
    ...manifest,
    tolerance_pct: tolerance,
    not_followed: ranking.notFollowed,
    slope_corrected: ranking.slopeCorrected,
    failures,
    mean_over: cycles.map(({ name, share }) => ({ cycle: name, share })),
    ranking: {
      rows: rows.length,
      omitted: shown.omitted,
      best: shown.best.map(place),
      worst: shown.worst.map(place),
    },
    best_by_cycle: (rows[0]?.cases ?? []).map(cycleDocument),
    highest_case: best && { ...best, values: valuesByPath(varied, best.values) },
    lowest_case: worst && { ...worst, values: valuesByPath(varied, worst.values) },
    knees: curves.slice(0, CURVES).map(kneeDocument),
    knees_omitted: Math.max(0, curves.length - CURVES),
  };
}

function placedRow(varied: readonly string[], { place, row }: PlacedRow): object {
  const { car, store, strategy, values, fuel, saving, bound, ...counts } = row;
  const { complete, cases, failed, notFollowed, slopeCorrected } = counts;
  return {
    place,
    car,
    store,
    strategy,
    varied: valuesByPath(varied, values),
    fuel,
    saving,
    ...(bound !== null && { bound }),
    complete,
    done: cases.length,
    failed,
    not_followed: notFollowed,
    slope_corrected: slopeCorrected,
  };
}

function cycleDocument(one: CycleFuel): object {
  const bound = boundOf(one);
  return { ...one, ...savingOf(one), ...(bound !== null && { bound }) };
}

function kneeDocument({ knee, points, held, together, bound, ...curve }: Curve): object {
  const { path, car, store, strategy } = curve;
  return {
    path,
    together,
    car,
    store,
    strategy,
    held: Object.fromEntries(held.map((one) => [one.path, one.value])),
    points: points.length,
    ...knee,
    ...(bound !== null && { bound: bound.knee }),
  };
}

function valuesByPath(
  varied: readonly string[],
  values: RankedRow['values'],
): Readonly<Record<string, number | null>> {
  return Object.fromEntries(varied.map((path, k) => [path, values[k] ?? null]));
}
