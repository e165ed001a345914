/** Starts that are looked at first, over the working range. */
const PARTS = 6;

/** Starts that are looked at then, each halfway between two others. */
const ROUGH_LOOKS = 10;

/** How often starts on both sides of the best are looked at in the end, halfway to the next ones. */
const ROUNDS = 3;

/** What a joule at the start is worth beyond what it still is at the end, over the price of a joule. */
const WORTH = 0.5;

/** Starts that are closer to each other than this are the same, over the working range. */
const SAME = 0.01;

/** A lap by its start: where that is [J], which need not be where it was looked for, and its fuel [J]. */
interface Start {
  readonly energy: number;
  readonly fuel: number;
}

/**
 * Finds where a lap should begin. It looks at a few starts, closer to each other where the store is
 * emptier, since one that is kept full for nothing has more drag. Then it looks halfway between two
 * neighbours again and again, where a lap could need the least: a joule more or less at the start is
 * worth no more than the engine's fuel for it, so that between two starts there can be a lap that needs
 * less than their mean by so much for each joule of half the distance (after Piyavskii 1972, from memory).
 * @param bottom of the store's working range [J]
 * @param top of it [J]
 * @param price of a joule [J of fuel]
 * @param search for the cheapest lap that begins at an energy [J] or near it, roughly or closely
 * @returns the cheapest lap of all that were found
 */
export function leastOfStarts<L extends Start>(
  bottom: number,
  top: number,
  price: number,
  search: (energy: number, closely: boolean) => L,
): L {
  let best = search(0, false);
  let starts: Start[] = [{ energy: 0, fuel: best.fuel }];
  const note = (energy: number, lap: L): void => {
    const others = starts.filter((start) => start.energy !== energy);
    starts = [...others, { energy, fuel: lap.fuel }].sort((a, b) => a.energy - b.energy);
    if (lap.fuel < best.fuel) best = lap;
  };
  const look = (energy: number, closely: boolean) => note(energy, search(energy, closely));
  const same = SAME * (top - bottom);
  for (let i = 0; i <= PARTS; i++) {
    const energy = bottom + (top - bottom) * (i / PARTS) ** 2;
    const before = starts.at(-1)!.energy;
    const lap = search(energy, false);
    note(lap.energy, lap);
    if (lap.energy >= Math.min(energy - same, before + same)) continue;
    // Where no lap comes back as full as it began, none that begins still fuller does.
    note(energy, lap);
    break;
  }
  for (let i = 0; i < ROUGH_LOOKS; i++) {
    const energy = mostPromising(starts, price, same);
    if (energy === undefined) break;
    look(energy, false);
  }
  look(cheapestOf(starts).energy, true);
  for (let round = 0; round < ROUNDS; round++) {
    const place = starts.indexOf(cheapestOf(starts));
    const { energy } = starts[place]!;
    const beside = [starts[place - 1], starts[place + 1]].filter((start) => start !== undefined);
    for (const next of beside) look(0.5 * (energy + next.energy), true);
  }
  return best;
}

function cheapestOf(starts: readonly Start[]): Start {
  return starts.reduce((a, b) => (b.fuel < a.fuel ? b : a));
}

/** Middle of the stretch between two starts in which a lap could need the least [J]; none if all are the same. */
function mostPromising(starts: readonly Start[], price: number, same: number): number | undefined {
  let least = Number.POSITIVE_INFINITY;
  let middle: number | undefined;
  for (let i = 1; i < starts.length; i++) {
    const [a, b] = [starts[i - 1]!, starts[i]!];
    const promise = a.fuel + b.fuel - WORTH * price * (b.energy - a.energy);
    if (b.energy - a.energy < same || promise >= least) continue;
    least = promise;
    middle = 0.5 * (a.energy + b.energy);
  }
  return middle;
}
