import { describe, expect, it } from 'vitest';
import type { Point } from '../../src/optimum/merit.ts';
import { optimise } from '../../src/optimum/optimise.ts';
import { judged, spread } from './judged.ts';

const SEEDS = Array.from({ length: 15 }, (_, k) => k + 1);

/** Functions whose lowest value is 0, from the literature of optimisation; their forms from memory. */
const sphere = (point: Point) => spread(point, 5, 0.7).reduce((sum, x) => sum + x * x, 0);

const rosenbrock = (point: Point) => {
  const z = spread(point, 2);
  return z
    .slice(1)
    .reduce((sum, next, k) => sum + 100 * (next - z[k]! ** 2) ** 2 + (1 - z[k]!) ** 2, 0);
};

/** Some hundred valleys, in which a search downhill would stay. */
const rastrigin = (point: Point) =>
  spread(point, 5.12, 0.7).reduce((sum, x) => sum + x * x + 10 - 10 * Math.cos(2 * Math.PI * x), 0);

function options(dimensions: number, evaluations: number, seed: number) {
  return { start: Array(dimensions).fill(0.1) as number[], evaluations, seed, finest: 1e-7 };
}

async function lowest(
  objective: (point: Point) => number,
  dimensions: number,
  evaluations: number,
): Promise<number[]> {
  const found = await Promise.all(
    SEEDS.map((seed) =>
      optimise(judged(objective).evaluate, options(dimensions, evaluations, seed)),
    ),
  );
  return found.map(({ best }) => best.merit.objective).toSorted((a, b) => a - b);
}

describe('the search for the best point', () => {
  // The functions reach some hundred to some thousand at the corners of the box.
  it('finds the bottom of a bowl with every seed', async () => {
    expect((await lowest(sphere, 2, 400)).at(-1)).toBeLessThan(1e-4);
    expect((await lowest(sphere, 4, 1200)).at(-1)).toBeLessThan(1e-4);
  });

  it('follows a bent valley to its end with every seed', async () => {
    expect((await lowest(rosenbrock, 2, 800)).at(-1)).toBeLessThan(1e-4);
    expect((await lowest(rosenbrock, 3, 3000)).at(-1)).toBeLessThan(1e-3);
  });

  it('finds the lowest of many valleys with most seeds, and one of the lowest with every seed', async () => {
    // The next lowest valleys are 1 and 2 higher.
    const found = await lowest(rastrigin, 2, 800);
    expect(found.filter((value) => value < 1e-4).length).toBeGreaterThanOrEqual(12);
    expect(found.at(-1)).toBeLessThan(2.1);
  });

  it('finds the optimum of a constrained problem, where two constraints meet', async () => {
    // Lowest (x − 2)² + (y − 1)² with x² ≤ y and x + y ≤ 2, for x and y from −3 to 3. It is convex,
    // and at (1, 1) both constraints are active with the multipliers 2/3 and 2/3: the lowest is 1.
    const place = (point: Point) => spread(point, 3) as [number, number];
    for (const seed of SEEDS) {
      const { evaluate } = judged(
        (point) => (place(point)[0] - 2) ** 2 + (place(point)[1] - 1) ** 2,
        [
          (point) => place(point)[0] ** 2 - place(point)[1],
          (point) => place(point)[0] + place(point)[1] - 2,
        ],
      );
      const { best } = await optimise(evaluate, options(2, 1000, seed));
      expect(best.merit.violations).toEqual([0, 0]);
      // From inside, since a point outside is none; a thousandth of the range is 0.006.
      expect(best.merit.objective).toBeGreaterThanOrEqual(1);
      expect(best.merit.objective).toBeLessThan(1.01);
    }
  });

  it('never ends worse than it started, however few points it may judge', async () => {
    for (const evaluations of [1, 2, 3, 5, 11, 17, 40]) {
      const { evaluate, batches } = judged(sphere);
      const start = [0.57, 0.57, 0.57];
      const { best, evaluations: used } = await optimise(evaluate, {
        ...options(3, evaluations, 3),
        start,
      });
      expect(best.merit.objective).toBeLessThanOrEqual(sphere(start));
      expect(used).toBeLessThanOrEqual(evaluations);
      expect(batches.reduce((sum, size) => sum + size, 0)).toBe(used);
    }
  });

  it('gives back the best of all that it judged', async () => {
    const seen: number[] = [];
    const { evaluate } = judged((point) => {
      const value = rastrigin(point);
      seen.push(value);
      return value;
    });
    const { best } = await optimise(evaluate, options(3, 300, 8));
    expect(best.merit.objective).toBe(Math.min(...seen));
  });

  it('judges points within the box alone, whole generations at a time', async () => {
    const { evaluate, batches } = judged((point) => {
      for (const share of point) {
        expect(share).toBeGreaterThanOrEqual(0);
        expect(share).toBeLessThanOrEqual(1);
      }
      // The best is at a corner, where steps lead out.
      return -point.reduce((sum, share) => sum + share, 0);
    });
    const { best } = await optimise(evaluate, options(3, 600, 2));
    expect(best.merit.objective).toBeLessThan(-2.999);
    expect(Math.max(...batches)).toBe(18);
    expect(batches.filter((size) => size === 1)).toEqual([]);
  });

  it('goes the same way with the same seed, and another with another', async () => {
    const way = async (seed: number) => {
      const points: Point[] = [];
      const { evaluate } = judged((point) => {
        points.push(point);
        return rastrigin(point);
      });
      await optimise(evaluate, options(2, 200, seed));
      return points;
    };
    expect(await way(5)).toEqual(await way(5));
    expect(await way(6)).not.toEqual(await way(5));
  });

  it('goes the same way whatever the units of objective and constraints are', async () => {
    const bestOf = async (unit: number) => {
      const { evaluate } = judged(
        (point) => unit * sphere(point),
        [(point) => 0.6 - point[0]!, (point) => (point[0]! + point[1]! - 1) * unit],
      );
      return (await optimise(evaluate, options(2, 300, 4))).best.point;
    };
    // Powers of two, which rounding does not see.
    expect(await bestOf(2 ** 20)).toEqual(await bestOf(1));
  });

  it('finds its way among points of which nothing can be said', async () => {
    const { evaluate } = judged((point) => (point[0]! > 0.55 ? Number.NaN : sphere(point)));
    const { best } = await optimise(evaluate, options(2, 600, 1));
    // The bowl's bottom is at a share of 0.57, so the best is at the edge of what can be judged.
    expect(best.point[0]).toBeLessThanOrEqual(0.55);
    expect(best.point[0]).toBeGreaterThan(0.549);
  });
});
