import type { Evaluate, Evaluated, FeasibilityRules, Point } from './merit.ts';

/** What a search around a point goes by. */
export interface CompassOptions {
  /** Most points that are judged */
  readonly evaluations: number;
  /** First step, as a share of the range */
  readonly step: number;
  /** Smallest step that is still tried */
  readonly finest: number;
  readonly rules: FeasibilityRules;
}

/**
 * Searches around a point: one step up and one down in each number by itself; the best of these
 * becomes the centre, and where none is better the step is halved (compass search; Kolda, Lewis &
 * Torczon 2003, from memory, not verified). A round is judged as a whole.
 *
 * @param evaluate judges points
 * @param from the first centre
 * @param options
 * @returns the last centre, never worse than the first, and how many points were judged
 */
export async function compassSearch(
  evaluate: Evaluate,
  from: Evaluated,
  { evaluations, step, finest, rules }: CompassOptions,
): Promise<{ readonly best: Evaluated; readonly evaluations: number }> {
  let best = from;
  let used = 0;
  for (let width = step; width >= finest; ) {
    const points = neighbours(best.point, width).map(({ point }) => point);
    if (used + points.length > evaluations) break;
    used += points.length;
    const merits = await evaluate(points);
    const around = points.map((point, k) => ({ point, merit: merits[k]! }));
    const next = rules.best([best, ...around]);
    if (next === best) width /= 2;
    best = next;
  }
  return { best, evaluations: used };
}

/** A point in which one number is moved. */
export interface Neighbour {
  readonly dimension: number;
  readonly direction: -1 | 1;
  readonly point: Point;
}

/** The points around one: each number a step down and a step up, as far as its bounds allow. */
export function neighbours(centre: Point, step: number): Neighbour[] {
  return centre.flatMap((value, dimension) =>
    ([-1, 1] as const).flatMap((direction) => {
      const moved = Math.min(1, Math.max(0, value + direction * step));
      return moved === value ? [] : { dimension, direction, point: centre.with(dimension, moved) };
    }),
  );
}
