import { neighbours } from '../optimum/compass-search.ts';
import type { FeasibilityRules, Point } from '../optimum/merit.ts';
import { shareOf, type TunedNumber, valuesAt } from './numbers.ts';
import type { Objective } from './objective.ts';
import type { MoveReport, NumberReport } from './report.ts';
import type { Trial, Trials } from './trials.ts';

/** A number is moved by this share of its range to see what hangs on it. */
const MOVE = 0.1;
/** Share of the sets of numbers, the best ones, whose spread is told. */
const BEST = 0.1;

/** The best set of numbers, and those around it. */
export interface Surroundings {
  readonly best: Trial;
  /** For each number, moved by itself; without a move that the budget did not reach. */
  readonly moved: readonly (readonly MoveReport[])[];
  /** Sets of numbers that were looked at. */
  readonly looked: number;
}

/**
 * Looks around the best set of numbers: each moved by itself, down and up. Should one of these be
 * better still, it becomes the best, and is looked around in turn, as far as the budget reaches.
 *
 * @param trials
 * @param numbers
 * @param from the best that the search found
 * @param rules by which the search compared
 * @param objective what they are tuned for
 * @param budget most different sets of numbers, those that were tried before among them
 */
export async function lookAround(
  trials: Trials,
  numbers: readonly TunedNumber[],
  from: Trial,
  rules: FeasibilityRules,
  objective: Objective,
  budget: number,
): Promise<Surroundings> {
  let best = from;
  for (let looked = 0; ; ) {
    const centre: Point = numbers.map((number, k) => shareOf(number, best.values[k]!));
    const all = neighbours(centre, MOVE).map((move) => ({
      ...move,
      // The others stay as they are to the last digit.
      values: best.values.with(move.dimension, valuesAt(numbers, move.point)[move.dimension]!),
    }));
    const moves = trials.within(budget, all);
    const tried = await trials.of(moves.map(({ values }) => values));
    looked += tried.length;
    const better = rules.best([best, ...tried]);
    if (better === best) {
      const report = (
        { dimension, direction }: (typeof moves)[number],
        trial: Trial,
      ): MoveReport => ({
        direction: direction < 0 ? 'down' : 'up',
        value: trial.values[dimension]!,
        loss: Number.isFinite(trial.figure) ? objective.gain(trial.figure, best.figure) : null,
        state: trial.state,
      });
      const moved = numbers.map((_, k) =>
        moves.flatMap((move, i) => (move.dimension === k ? report(move, tried[i]!) : [])),
      );
      return { best, moved, looked };
    }
    best = better;
  }
}

/** Lowest and highest value of each number among the best tenth of those that hold all constraints. */
export function bestTenth(
  numbers: readonly TunedNumber[],
  trials: readonly Trial[],
  rules: FeasibilityRules,
): readonly NumberReport['best_tenth'][] {
  const held = trials.filter(({ state }) => state === 'held');
  const best = held
    .toSorted((one, other) => rules.compare(one.merit, other.merit))
    .slice(0, Math.ceil(BEST * held.length));
  return numbers.map((_, k) => {
    if (best.length === 0) return null;
    const values = best.map((trial) => trial.values[k]!);
    return [Math.min(...values), Math.max(...values)];
  });
}
