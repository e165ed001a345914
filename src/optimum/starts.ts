import type { Fineness } from './finder.ts';

/** The search from each of the starts. */
const SCAN = { cells: 640, ways: 60 } as const;

/** The search beside the best of them. */
const CLOSE_SCAN = { cells: 640, ways: 120 } as const;

/** Parts of the range between whose ends laps begin. */
const PARTS = 10;

/** How often the distance between two starts is then halved, beside the best. */
const HALVINGS = 4;

/**
 * Finds where a lap should begin: looks at starts all over the range, and then ever closer beside the
 * best.
 * @param bottom of the store's working range [J]
 * @param top of it [J]
 * @param search for the cheapest lap that begins at an energy [J] or near it
 * @returns the cheapest lap of all that were found
 */
export function leastOfStarts<L extends { readonly fuel: number }>(
  bottom: number,
  top: number,
  search: (energy: number, breadth: Omit<Fineness, 'nodes'>) => L,
): L {
  let best = search(bottom, SCAN);
  let middle = bottom;
  const look = (energy: number, breadth: Omit<Fineness, 'nodes'>) => {
    if (energy < 0 || energy > top) return;
    const lap = search(energy, breadth);
    if (lap.fuel >= best.fuel) return;
    best = lap;
    middle = energy;
  };
  let step = (top - bottom) / PARTS;
  look(0, SCAN);
  for (let i = 1; i < PARTS; i++) look(bottom + i * step, SCAN);
  for (let round = 0; round < HALVINGS; round++) {
    step /= 2;
    const around = middle;
    look(around - step, CLOSE_SCAN);
    look(around + step, CLOSE_SCAN);
  }
  return best;
}
