import type { Cell } from '../summary/flat.ts';
import type { CycleReport, TuneReport } from '../tune/report.ts';
import type { Trial } from '../tune/trials.ts';
import type { Tune } from '../tune/tune.ts';
import type { CsvDialect } from './csv-dialect.ts';
import { recordsCsv } from './records-csv.ts';

/**
 * A tune as CSV: a row a cycle with the numbers of the files, and one with those that were found. Whether
 * the numbers hold all constraints on the cycles that they are tuned on stands in each of their rows.
 */
export function tuneCsv(report: TuneReport, dialect: CsvDialect): string {
  const { cycles } = report;
  return recordsCsv(
    (['before', 'after'] as const).flatMap((state) =>
      cycles.map((cycle) => rowOf(report, cycle, state)),
    ),
    dialect,
  );
}

function rowOf(
  { tune, numbers, constraints }: TuneReport,
  { cycle, held_back: isHeldBack, share, ...figures }: CycleReport,
  state: 'before' | 'after',
): Record<string, Cell> {
  return {
    tune,
    numbers: state,
    cycles: isHeldBack ? 'held_back' : 'tuned',
    cycle,
    share,
    ...Object.fromEntries(numbers.map((number) => [number.path, number[state]])),
    ...figures[state],
    holds_constraints: constraints.every((constraint) => constraint[state].holds),
  };
}

/** Every set of numbers that was tried, in their order: what became of it, and its figure. */
export function evaluationsCsv(
  { numbers, objective }: Pick<Tune, 'numbers' | 'objective'>,
  trials: readonly Trial[],
): string {
  return recordsCsv(
    trials.map(({ values, state, figure }, k) => ({
      set: k + 1,
      state,
      ...Object.fromEntries(numbers.map(({ path }, n) => [path.text, values[n]!])),
      [objective.figure]: Number.isFinite(figure) ? figure : null,
    })),
  );
}
