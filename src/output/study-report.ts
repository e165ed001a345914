import { type Curve, storeCurves } from '../study/curves.ts';
import type { RankedRow, Ranking } from '../study/ranking.ts';

/** A study as people are shown it; every format prints the same of it. */
export interface StudyReport {
  readonly name: string;
  /** Name and version of the program. */
  readonly tool: string;
  readonly ranking: Ranking;
  readonly curves: readonly Curve[];
}

/** Rows that a screen has room for, from the top and from the bottom. */
const BEST = 10;
const WORST = 3;

/** A row and its place in the ranking, from 1 on. */
export interface PlacedRow {
  readonly place: number;
  readonly row: RankedRow;
}

/** The rows that are shown, and how many are not. */
export interface ShownRows {
  readonly best: readonly PlacedRow[];
  readonly omitted: number;
  readonly worst: readonly PlacedRow[];
}

/**
 * What is shown of a study.
 * @param name of the study
 * @param tool name and version of the program
 * @param ranking of its cases
 */
export function studyReport(name: string, tool: string, ranking: Ranking): StudyReport {
  return { name, tool, ranking, curves: storeCurves(ranking) };
}

/**
 * The best rows and a few of the worst. Where not all fit, rows that lack a cycle are left out
 * before any other: they compare with none.
 */
export function shownRows({ rows }: Ranking, most = BEST + WORST): ShownRows {
  const placed = rows.map((row, k) => ({ place: k + 1, row }));
  if (placed.length <= most) return { best: placed, omitted: 0, worst: [] };
  const complete = placed.filter(({ row }) => row.complete);
  const pool = complete.length > 0 ? complete : placed;
  const best = pool.slice(0, most - WORST);
  const worst = pool.slice(Math.max(best.length, pool.length - WORST));
  return { best, omitted: placed.length - best.length - worst.length, worst };
}

/** Every name that stands in the tables of a study, and those hashes that can be taken for numbers. */
export function namesIn({ rows, cycles, numberHashes }: Ranking): readonly string[] {
  const parts = rows.flatMap(({ car, store, strategy }) => [car, store, strategy]);
  return [...parts, ...cycles.map(({ name }) => name), ...numberHashes];
}
