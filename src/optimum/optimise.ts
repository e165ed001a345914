import { compassSearch } from './compass-search.ts';
import {
  differentialEvolution,
  type EvolutionOptions,
  type Found,
} from './differential-evolution.ts';
import type { Evaluate } from './merit.ts';

/** Share of the evaluations that is kept for the search around the best point. */
const POLISH = 0.2;
/** First step of that search, as a share of the range. */
const FIRST_STEP = 0.1;

/** How a search goes. */
export interface OptimiseOptions extends EvolutionOptions {
  /** Smallest step, as a share of the range, that makes another point */
  readonly finest: number;
}

/**
 * Searches for the best point in the box 0 … 1: everywhere, then around the best that was found.
 * With the same options and merits it takes the same way, however many points are judged at a time.
 *
 * @param evaluate judges points
 * @param options
 * @returns the best of all points that were judged, the start among them
 */
export async function optimise(evaluate: Evaluate, options: OptimiseOptions): Promise<Found> {
  const { evaluations, finest } = options;
  const everywhere = Math.max(1, Math.ceil(evaluations * (1 - POLISH)));
  const found = await differentialEvolution(evaluate, { ...options, evaluations: everywhere });
  const { rules } = found;
  const polished = await compassSearch(evaluate, found.best, {
    evaluations: evaluations - found.evaluations,
    step: FIRST_STEP,
    finest,
    rules,
  });
  const used = found.evaluations + polished.evaluations;
  return { best: polished.best, evaluations: used, rules };
}
