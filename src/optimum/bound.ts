import { DefectError, InputError } from '../config/problem.ts';
import { intervalCount, type Trace } from '../cycle/trace.ts';
import type { Store } from '../physics/store.ts';
import type { Car } from '../simulate/car.ts';
import { Demand } from '../simulate/demand.ts';
import { Finder, type Fineness, type Lap, type Prices } from './finder.ts';

/** Two passes whose replayed fuels differ by less than this, relative, are fine enough. */
export const REFINEMENT_LIMIT = 5e-4;

/** Passes, from coarse to fine: at least two, and more until the fuel moves no more. */
const PASSES: readonly Fineness[] = [
  { nodes: 16, cells: 160, ways: 100 },
  { nodes: 20, cells: 240, ways: 200 },
  { nodes: 32, cells: 480, ways: 480 },
  { nodes: 54, cells: 960, ways: 960 },
];

/**
 * The shorter a trace, the more a single decision counts: below this length [intervals] its grids are
 * finer by as much as it is shorter, so that a pass costs about the same, but never by more than this.
 */
const LONG = 1800;
const MOST_GROWTH = 4;

/** How often a pass goes through the trace, about; progress is told once in so many intervals. */
const ROUNDS = 4;
const TOLD_EVERY = 64;

/** Longest trace [intervals]: the costs to go of every instant have to be held. */
const LONGEST = 10_000;

/** The least fuel of a case: a lap that was driven, and how it was found. */
export interface Bound extends Lap {
  /** What the last refinement changed, over the fuel */
  readonly refinement: number;
  readonly grid: Fineness & { readonly lanes: number; readonly passes: number };
  /**
   * Costs to go by which the decisions of another lap are judged. They are worked out anew for each, and
   * those of the one before are then gone.
   * @param debts what its battery is owed at each instant [J]
   */
  readonly pricesAlong: (debts: Float64Array) => Prices;
}

/**
 * Finds the least fuel of a case whose store ends as full as it began, over all initial energies: the
 * best lap that repeats itself. Costs to go are worked out backwards on a grid, with the worth of
 * stored energy at the end taken from the start of the next lap; then the best way is searched forward
 * among states that are really reached, and driven once more by the simulator.
 * @param car with the store fitted
 * @param store
 * @param trace
 * @param most passes; a bound of one alone is a valid lap, but perhaps some 0.1 % too high
 * @param onProgress told now and then how much is done, from 0 to 1. How many passes it takes is not
 *   known beforehand: the first counts for half, the next for half of what is left, and so on
 * @returns the best lap of all passes; its fuel is what was driven, not what was computed to go. It
 *   lies above the true least fuel by what a search on grids misses, of which `refinement` is a measure
 *   and no proof
 * @throws InputError for a trace that is too long
 */
export function findBound(
  car: Car,
  store: Store,
  trace: Trace,
  most: number = PASSES.length,
  onProgress?: (share: number) => void,
): Bound {
  const count = intervalCount(trace);
  if (count > LONGEST) throw new InputError([tooLong(trace, count)]);
  const demand = new Demand(car, store, trace, count);
  demand.block(0);
  const finder = new Finder(car, store, demand);
  let best: Lap | undefined;
  let refinement = Number.POSITIVE_INFINITY;
  let grid: Bound['grid'] | undefined;
  const growth = Math.min(Math.max(LONG / count, 1), MOST_GROWTH);
  for (const { nodes, cells, ways } of PASSES.slice(0, most)) {
    const fineness = { nodes: Math.round(nodes * growth), cells: Math.round(cells * growth), ways };
    const before: number = grid?.passes ?? 0;
    if (onProgress !== undefined) finder.stages.onStage = telling(onProgress, before, count);
    const lap = finder.pass(fineness);
    const passes = before + 1;
    grid = { ...fineness, lanes: finder.stages.lanes, passes };
    if (best !== undefined) refinement = Math.abs(lap.fuel - best.fuel) / lap.fuel;
    if (best === undefined || lap.fuel < best.fuel) best = lap;
    if (refinement < REFINEMENT_LIMIT || !(lap.fuel > 0)) break;
  }
  if (best === undefined || grid === undefined) throw new DefectError('a bound without a pass');
  finder.stages.onStage = undefined;
  onProgress?.(1);
  return { ...best, refinement, grid, pricesAlong: (debts) => finder.pricesAlong(debts) };
}

/** Counts the intervals of a pass as they are worked on, and tells of them. */
function telling(onProgress: (share: number) => void, passes: number, count: number) {
  const left = 0.5 ** passes;
  let visited = 0;
  return () => {
    visited++;
    if (visited % TOLD_EVERY !== 0) return;
    onProgress(1 - left + 0.5 * left * Math.min(visited / (ROUNDS * count), 1));
  };
}

function tooLong(trace: Trace, count: number) {
  return {
    code: 'too-long-for-bound',
    file: trace.name,
    found: `${count} intervals`,
    expected: `at most ${LONGEST} for a bound, since the costs to go of every instant are held`,
    hint: 'cut the drive, as in `drive[0..3600]`, or read it at 1 Hz with `--resample 1`',
  };
}
