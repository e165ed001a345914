import { type Evaluate, type Evaluated, FeasibilityRules, type Point } from './merit.ts';
import { randomNumbers } from './random.ts';

/** Points of a generation for each number: few, since a point costs several runs. */
const PER_NUMBER = 6;
const FEWEST = 10;
/** A step is so many times the difference of two points, anew for each ("dither"). */
const FACTOR = { least: 0.5, most: 1 } as const;
/** Share of the numbers of a point that take the step. */
const CROSSOVER = 0.9;

/** What a search starts from and how far it goes. */
export interface EvolutionOptions {
  /** A point that is known; the search never ends worse */
  readonly start: Point;
  /** Most points that are judged */
  readonly evaluations: number;
  /** Whole number from 0 to 2^32 − 1 */
  readonly seed: number;
}

/** What a search came to. */
export interface Found {
  readonly best: Evaluated;
  /** Points that were judged */
  readonly evaluations: number;
  /** By which points were compared */
  readonly rules: FeasibilityRules;
}

/**
 * Searches the whole box 0 … 1 for the best point by differential evolution, "best/1/bin" with
 * dither (Storn & Price 1997; the strategy and the constants from memory, not verified). It needs no
 * derivatives and no smoothness. The first generation is a Latin hypercube (McKay, Beckman & Conover
 * 1979, from memory) with the start in it. A generation is made before any point of it is judged, so
 * its points may be judged at the same time, and nothing depends on which of them is ready first.
 *
 * @param evaluate judges points
 * @param options
 * @returns the best point; the start counts among those judged
 */
export async function differentialEvolution(
  evaluate: Evaluate,
  { start, evaluations, seed }: EvolutionOptions,
): Promise<Found> {
  const random = randomNumbers(seed);
  const size = Math.min(evaluations, Math.max(FEWEST, PER_NUMBER * start.length));
  const first = [start, ...latinHypercube(size - 1, start.length, random)];
  const merits = await evaluate(first);
  const rules = new FeasibilityRules(merits);
  const population: Evaluated[] = first.map((point, k) => ({ point, merit: merits[k]! }));
  let used = size;
  // A step takes three points besides the one that it is for.
  while (used < evaluations && size >= 4) {
    const leader = rules.best(population as [Evaluated, ...Evaluated[]]);
    const trials = population
      .slice(0, evaluations - used)
      .map((_, k) => trial(k, population, leader, random));
    used += trials.length;
    for (const [k, merit] of (await evaluate(trials)).entries()) {
      const isWorse = rules.compare(merit, population[k]!.merit) > 0;
      if (!isWorse) population[k] = { point: trials[k]!, merit };
    }
  }
  return { best: rules.best(population as [Evaluated, ...Evaluated[]]), evaluations: used, rules };
}

/** The best point of all, a step away, with some numbers of the point that is to be bettered. */
function trial(
  place: number,
  population: readonly Evaluated[],
  leader: Evaluated,
  random: () => number,
): Point {
  const own = population[place]!.point;
  const taken = [place, population.indexOf(leader)];
  const other = (): Point => {
    let k = taken[0]!;
    while (taken.includes(k)) k = Math.floor(random() * population.length);
    taken.push(k);
    return population[k]!.point;
  };
  const [one, two] = [other(), other()];
  const factor = FACTOR.least + (FACTOR.most - FACTOR.least) * random();
  const always = Math.floor(random() * own.length);
  return own.map((old, d) => {
    const steps = random() < CROSSOVER || d === always;
    return steps ? inside(leader.point[d]! + factor * (one[d]! - two[d]!), old) : old;
  });
}

/** A number that a step took beyond its bound comes to stand half-way from where it was. */
function inside(value: number, old: number): number {
  if (value < 0) return old / 2;
  return value > 1 ? (old + 1) / 2 : value;
}

/** Points of which each has a slice of every number's range to itself. */
function latinHypercube(count: number, dimensions: number, random: () => number): Point[] {
  const columns = Array.from({ length: dimensions }, () => {
    const slices = Array.from({ length: count }, (_, k) => k);
    for (let k = count - 1; k > 0; k--) {
      const other = Math.floor(random() * (k + 1));
      [slices[k], slices[other]] = [slices[other]!, slices[k]!];
    }
    return slices.map((slice) => (slice + random()) / count);
  });
  return Array.from({ length: count }, (_, k) => columns.map((column) => column[k]!));
}
