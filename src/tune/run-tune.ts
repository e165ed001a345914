import { InputError, type Problem } from '../config/problem.ts';
import { isFeasible, type Point } from '../optimum/merit.ts';
import { optimise } from '../optimum/optimise.ts';
import type { ResultRow } from '../study/result-row.ts';
import { bestTenth, lookAround, type Surroundings } from './around.ts';
import { Conditions, traceConstraint } from './conditions.ts';
import { FINEST_STEP, shareOf, valuesAt } from './numbers.ts';
import { Objective } from './objective.ts';
import type { TuneReport } from './report.ts';
import { reportOf } from './report-of.ts';
import { type CaseOutcome, SHORTFALL } from './rows.ts';
import { CaseDesk, type Trial, Trials, type Workshop } from './trials.ts';
import type { Tune } from './tune.ts';

/** How far a tune is. */
export interface TuneProgress {
  /** Different sets of numbers that were tried */
  readonly tried: number;
  /** Cases that were run, and not taken from the journal */
  readonly run: number;
}

/** What a tune came to. */
export interface Tuned {
  readonly report: TuneReport;
  /** Every set of numbers that was tried, in their order */
  readonly trials: readonly Trial[];
  /** The best of them */
  readonly best: Trial;
  /** Cases that were run, and not taken from the journal */
  readonly run: number;
}

/**
 * Tunes numbers: tries those of the files, searches for better ones, looks around the best, and runs
 * both on the cycles that are held back, which nothing before depends on. What was tried before is
 * taken from the journal, so that a tune that was ended goes the same way again, only quicker.
 *
 * @param tune
 * @param workshop by which its cases are run
 * @param onProgress called whenever sets of numbers have been tried
 * @throws InputError where the numbers of the files cannot be run or judged, Stopped at the signal,
 *   DefectError where a case fails by a fault of the program
 */
export async function runTune(
  tune: Tune,
  workshop: Workshop,
  onProgress: (progress: TuneProgress) => void,
): Promise<Tuned> {
  const { numbers, evaluations, seed } = tune;
  const desk = new CaseDesk(tune, workshop);
  const objective = new Objective(tune.objective);
  const first = numbers.map(({ start }) => start);
  const tuned = tune.cycles.filter(({ isHeldBack }) => !isHeldBack);
  const startRows = await casesWith(first, tune, desk, false);
  const conditions = new Conditions(constraintsOf(tune, startRows), startRows, tuned);
  const trials: Trials = new Trials(desk, tune, objective, conditions, () =>
    onProgress({ tried: trials.all.length, run: desk.run }),
  );
  const [start] = (await trials.of([first])) as [Trial];
  refuseUnjudged(tune, start, conditions);

  const evaluate = async (points: readonly Point[]) => {
    const tried = await trials.of(points.map((point) => valuesAt(numbers, point)));
    return tried.map(({ merit }) => merit);
  };
  const found = await optimise(evaluate, {
    start: numbers.map((number) => shareOf(number, number.start)),
    // Each number is moved both ways once the best is there.
    evaluations: Math.max(1, evaluations - 2 * numbers.length),
    seed,
    finest: FINEST_STEP,
  });
  const { rules } = found;
  const [searched] = (await trials.of([valuesAt(numbers, found.best.point)])) as [Trial];
  // Other numbers that are no better are no reason to change a file.
  const isBetter = rules.compare(searched.merit, start.merit) < 0;
  const surroundings: Surroundings = await lookAround(
    trials,
    numbers,
    isBetter ? searched : start,
    rules,
    objective,
    evaluations,
  );
  const { best } = surroundings;
  const heldBack = {
    before: await casesWith(first, tune, desk, true),
    after: await casesWith(best.values, tune, desk, true),
  };
  const report = reportOf({
    tune,
    objective,
    conditions,
    start,
    surroundings,
    heldBack,
    trials: trials.all,
    bestTenth: bestTenth(numbers, trials.all, rules),
    evaluations: found.evaluations,
    isFeasible: isFeasible(best.merit),
  });
  return { report, trials: trials.all, best, run: desk.run };
}

/** The cases of one set of numbers, all of which must be there. */
async function casesWith(
  values: readonly number[],
  tune: Tune,
  desk: CaseDesk,
  isHeldBack: boolean,
): Promise<ResultRow[]> {
  const places = tune.cycles.flatMap((cycle, k) => (cycle.isHeldBack === isHeldBack ? k : []));
  const candidate = await desk.candidate(values);
  const [outcomes = []] = await desk.outcomes([candidate], places);
  return outcomes.map((outcome, k) => rowOf(outcome, tune.cycles[places[k]!]!.name));
}

function rowOf(outcome: CaseOutcome, cycle: string): ResultRow {
  if ('figures' in outcome) return outcome;
  const { problems, message } = outcome;
  const none = { code: 'failed', file: cycle, found: message, expected: 'a case that ends' };
  throw new InputError(problems.length > 0 ? problems : [none]);
}

/** Those of the file, and the one that no tune goes without unless the file has one about it. */
function constraintsOf({ constraints }: Tune, start: readonly ResultRow[]) {
  const isOwn = constraints.some(({ figure }) => figure === SHORTFALL);
  return isOwn ? constraints : [...constraints, traceConstraint(start)];
}

/** What has no value with the numbers of the files could not be told to get better or worse. */
function refuseUnjudged(tune: Tune, start: Trial, conditions: Conditions): void {
  const [file] = tune.files as [string];
  const problems: Problem[] = [];
  if (!Number.isFinite(start.figure)) {
    problems.push({
      code: 'no-figure',
      file,
      path: 'objective.figure',
      found: `no ${tune.objective.figure} on these cycles: a drive that burns no fuel has no saving`,
      expected: 'a figure that has a value with the numbers of the files',
    });
  }
  for (const [k, { value, why }] of conditions.standings(start.rows).entries()) {
    if (value !== null) continue;
    problems.push({
      code: 'no-figure',
      file,
      path: `constraints[${k}]`,
      found: why ?? 'no value of this figure, which holds a text',
      expected: 'a figure that has a value with the numbers of the files',
    });
  }
  if (problems.length > 0) throw new InputError(problems);
}
