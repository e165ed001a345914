import type { Cell } from '../summary/flat.ts';
import type { ShownFigures, TuneReport } from '../tune/report.ts';
import type { Trial } from '../tune/trials.ts';
import type { Tune } from '../tune/tune.ts';
import type { CsvDialect } from './csv-dialect.ts';
import { recordsCsv } from './records-csv.ts';

/** What a row of the table of a tune is about. */
type Kind = 'objective' | 'number' | 'cycle' | 'mean' | 'constraint';

interface Row {
  readonly kind: Kind;
  /** Number, cycle or constraint */
  readonly name: string;
  readonly figure: string;
  /** The cycles that it is of: `tuned`, `held_back` */
  readonly cycles: 'tuned' | 'held_back' | null;
  readonly before: number | null;
  readonly after: number | null;
  /** Bounds of a number, limits of a constraint */
  readonly low: number | null;
  readonly high: number | null;
  /** Whether a constraint holds after */
  readonly holds: boolean | null;
}

/** A tune as CSV: a row a number, a figure of each cycle, a mean or a constraint. */
export function tuneCsv(report: TuneReport, dialect: CsvDialect): string {
  return recordsCsv(
    rowsOf(report).map((row): Record<string, Cell> => ({ ...row })),
    dialect,
  );
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

function rowsOf(report: TuneReport): Row[] {
  const { objective, held_back: heldBack, numbers, cycles, means, constraints } = report;
  const none = { low: null, high: null, holds: null } as const;
  const figures = (
    kind: Kind,
    name: string,
    of: Row['cycles'],
    before: ShownFigures,
    after: ShownFigures,
  ): Row[] =>
    (Object.keys(before) as (keyof ShownFigures)[]).map((figure) => ({
      kind,
      name,
      figure,
      cycles: of,
      before: before[figure],
      after: after[figure],
      ...none,
    }));
  const gain = (of: 'tuned' | 'held_back', { before, after }: { before: number; after: number }) =>
    ({
      kind: 'objective',
      name: objective.over,
      figure: objective.figure,
      cycles: of,
      before,
      after,
      ...none,
    }) as const;
  return [
    gain('tuned', objective),
    ...(heldBack === null ? [] : [gain('held_back', heldBack)]),
    ...numbers.map(
      ({ path, before, after, from, to }): Row => ({
        kind: 'number',
        name: path,
        figure: path,
        cycles: null,
        before,
        after,
        low: from,
        high: to,
        holds: null,
      }),
    ),
    ...cycles.flatMap(({ cycle, held_back: isHeld, before, after }) =>
      figures('cycle', cycle, isHeld ? 'held_back' : 'tuned', before, after),
    ),
    ...figures('mean', '', 'tuned', means.tuned.before, means.tuned.after),
    ...(means.held_back === null
      ? []
      : figures('mean', '', 'held_back', means.held_back.before, means.held_back.after)),
    ...constraints.map(
      ({ name, figure, before, after, limits }): Row => ({
        kind: 'constraint',
        name,
        figure,
        cycles: 'tuned',
        before: before.value,
        after: after.value,
        low: limits.at_least ?? limits.above ?? null,
        high: limits.at_most ?? limits.below ?? null,
        holds: after.holds,
      }),
    ),
  ];
}
