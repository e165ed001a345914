import type { Evaluate, Point } from '../../src/optimum/merit.ts';

/** Judges points by a function, and keeps the sizes of the batches in which they came. */
export function judged(
  objective: (point: Point) => number,
  constraints: readonly ((point: Point) => number)[] = [],
) {
  const batches: number[] = [];
  const evaluate: Evaluate = async (points) => {
    batches.push(points.length);
    return points.map((point) => ({
      objective: objective(point),
      violations: constraints.map((missed) => Math.max(0, missed(point))),
    }));
  };
  return { evaluate, batches };
}

/** Numbers from −half to half for shares of a range, moved so that no optimum is at its middle. */
export function spread(point: Point, half: number, shift = 0): number[] {
  return point.map((share) => (2 * share - 1) * half - shift);
}
