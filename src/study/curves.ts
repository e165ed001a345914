import { type CurvePoint, findKnee, type Knee } from './knee.ts';
import type { RankedRow, Ranking } from './ranking.ts';

/** The saving over one number of the store, all else held as in the best row of these parts. */
export interface Curve {
  readonly car: string;
  readonly store: string;
  readonly strategy: string;
  /** Path of the number. */
  readonly path: string;
  /** Paths whose values change with it, row by row. */
  readonly together: readonly string[];
  /** Values of the other paths. */
  readonly held: readonly { readonly path: string; readonly value: number | null }[];
  /** By rising value. */
  readonly points: readonly CurvePoint[];
  readonly knee: Knee;
  /** The same of the least fuel of any strategy; null where the study does not ask for it. */
  readonly bound: BoundCurve | null;
}

/** What the best strategy could save, over the same values. */
export type BoundCurve = Pick<Curve, 'points' | 'knee'>;

const STORE = 'store.';

/**
 * The curves of saving over each number of the store that a study varies, one number at a time: for
 * each car, store and strategy one curve through its best row. Rows without all of their cycles say
 * nothing that compares, and are left out.
 * @returns by the place of their best rows in the ranking, then by the order of the paths
 */
export function storeCurves({ varied, rows }: Ranking): readonly Curve[] {
  if (!varied.some((path) => path.startsWith(STORE))) return [];
  const byParts = new Map<string, RankedRow[]>();
  for (const row of rows) {
    if (!row.complete) continue;
    const key = JSON.stringify([row.car, row.store, row.strategy]);
    const group = byParts.get(key);
    if (group === undefined) byParts.set(key, [row]);
    else group.push(row);
  }
  return [...byParts.values()].flatMap((group) => curvesOf(varied, group));
}

/** @param rows of the same parts, the best of them first */
function curvesOf(varied: readonly string[], rows: readonly RankedRow[]): Curve[] {
  const columns = varied.map((_, k) => k).filter((k) => distinct(rows, [k]) > 1);
  const used = new Set<number>();
  const curves: Curve[] = [];
  for (const k of columns) {
    if (used.has(k) || !varied[k]!.startsWith(STORE)) continue;
    const linked = columns.filter((other) => areLinked(rows, k, other));
    for (const other of linked) used.add(other);
    curves.push(curveOf(varied, rows, k, linked));
  }
  return curves;
}

function curveOf(
  varied: readonly string[],
  rows: readonly RankedRow[],
  k: number,
  linked: readonly number[],
): Curve {
  const best = rows[0]!;
  const held = varied.map((_, other) => other).filter((other) => !linked.includes(other));
  const along = rows.filter(({ values }) =>
    held.every((other) => values[other] === best.values[other]),
  );
  const points = pointsOf(along, k, ({ saving }) => saving.vs_baseline_pct);
  const bound = pointsOf(along, k, (row) => row.bound?.saving_vs_baseline_pct ?? null);
  const { car, store, strategy } = best;
  return {
    car,
    store,
    strategy,
    path: varied[k]!,
    together: linked.filter((other) => other !== k).map((other) => varied[other]!),
    held: held.map((other) => ({ path: varied[other]!, value: best.values[other] ?? null })),
    points,
    knee: findKnee(points),
    bound: bound.length === 0 ? null : { points: bound, knee: findKnee(bound) },
  };
}

/** By rising value of a number; rows that leave it as it is, or save nothing that can be said, are none. */
function pointsOf(
  rows: readonly RankedRow[],
  k: number,
  savingAt: (row: RankedRow) => number | null,
): CurvePoint[] {
  const points = rows.flatMap((row): CurvePoint[] => {
    const value = row.values[k] ?? null;
    const saving_pct = savingAt(row);
    return value === null || saving_pct === null ? [] : [{ value, saving_pct }];
  });
  return points.sort((a, b) => a.value - b.value);
}

/** Whether two numbers only ever change together, value for value, as listed pairs do. */
function areLinked(rows: readonly RankedRow[], k: number, other: number): boolean {
  const pairs = distinct(rows, [k, other]);
  return pairs === distinct(rows, [k]) && pairs === distinct(rows, [other]);
}

function distinct(rows: readonly RankedRow[], columns: readonly number[]): number {
  return new Set(rows.map(({ values }) => columns.map((k) => values[k]).join(' '))).size;
}
