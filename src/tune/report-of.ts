import { MODEL_VERSION } from '../simulate/model-version.ts';
import type { ResultRow } from '../study/result-row.ts';
import { tool } from '../summary/tool.ts';
import type { Surroundings } from './around.ts';
import { Conditions, meanFigure, type Standing } from './conditions.ts';
import { boundAt } from './numbers.ts';
import type { Objective } from './objective.ts';
import {
  type BeforeAfter,
  type ConstraintReport,
  type CycleReport,
  type Gain,
  type NumberReport,
  type SearchReport,
  type ShownFigures,
  TUNE_SCHEMA_VERSION,
  type TuneReport,
} from './report.ts';
import { SHOWN } from './rows.ts';
import type { Trial } from './trials.ts';
import type { Tune, TuneCycle } from './tune.ts';

/** All that a report is made of. */
export interface ReportSource {
  readonly tune: Tune;
  readonly objective: Objective;
  readonly conditions: Conditions;
  readonly start: Trial;
  readonly surroundings: Surroundings;
  /** Cases on the cycles that are held back */
  readonly heldBack: BeforeAfter<readonly ResultRow[]>;
  readonly trials: readonly Trial[];
  readonly bestTenth: readonly NumberReport['best_tenth'][];
  readonly evaluations: number;
  readonly isFeasible: boolean;
}

/** Puts what a tune came to into the document that every format prints. */
export function reportOf(source: ReportSource): TuneReport {
  const { tune, objective, start, surroundings, heldBack } = source;
  const tuned = tune.cycles.filter(({ isHeldBack }) => !isHeldBack);
  const held = tune.cycles.filter(({ isHeldBack }) => isHeldBack);
  const { best } = surroundings;
  const onTuned = { before: start.rows, after: best.rows };
  const hasHeld = held.length > 0;
  return {
    schema_version: TUNE_SCHEMA_VERSION,
    tool: tool(),
    model_version: MODEL_VERSION,
    tune: tune.name,
    inputs: tune.inputs,
    objective: { ...tune.objective, ...gainOf(objective, onTuned, tuned) },
    held_back: hasHeld ? gainOf(objective, heldBack, held) : null,
    feasible: source.isFeasible,
    numbers: numbersOf(source),
    cycles: [...cyclesOf(onTuned, tuned), ...cyclesOf(heldBack, held)],
    means: {
      tuned: meansOf(onTuned, tuned),
      held_back: hasHeld ? meansOf(heldBack, held) : null,
    },
    constraints: constraintsOf(source, held),
    search: searchOf(source),
  };
}

function gainOf(
  objective: Objective,
  rows: BeforeAfter<readonly ResultRow[]>,
  cycles: readonly TuneCycle[],
): Gain {
  const before = objective.of(rows.before, cycles);
  const after = objective.of(rows.after, cycles);
  return { before, after, gain: objective.gain(before, after) };
}

function numbersOf({ tune, surroundings, bestTenth }: ReportSource): NumberReport[] {
  return tune.numbers.map((number, k) => {
    const { path, from, to, scale, start } = number;
    const after = surroundings.best.values[k]!;
    return {
      path: path.text,
      kind: path.kind,
      from,
      to,
      scale,
      before: start,
      after,
      at_bound: boundAt(number, after),
      best_tenth: bestTenth[k]!,
      moved: surroundings.moved[k]!,
    };
  });
}

function cyclesOf(
  rows: BeforeAfter<readonly ResultRow[]>,
  cycles: readonly TuneCycle[],
): CycleReport[] {
  return cycles.map(({ name, share, isHeldBack }, k) => ({
    cycle: name,
    held_back: isHeldBack,
    share,
    before: shown((column) => rows.before[k]!.figures.of(column)),
    after: shown((column) => rows.after[k]!.figures.of(column)),
  }));
}

function meansOf(
  { before, after }: BeforeAfter<readonly ResultRow[]>,
  cycles: readonly TuneCycle[],
): BeforeAfter<ShownFigures> {
  return {
    before: shown((column) => meanFigure(column, before, cycles)),
    after: shown((column) => meanFigure(column, after, cycles)),
  };
}

function shown(of: (column: string) => number): ShownFigures {
  const figures = SHOWN.map((column) => {
    const value = of(column);
    return [column, Number.isFinite(value) ? value : null] as const;
  });
  return Object.fromEntries(figures) as ShownFigures;
}

function constraintsOf(source: ReportSource, held: readonly TuneCycle[]): ConstraintReport[] {
  const { conditions, start, surroundings, heldBack } = source;
  const before = conditions.standings(start.rows);
  const after = conditions.standings(surroundings.best.rows);
  const onHeld =
    held.length > 0
      ? new Conditions(conditions.gates, heldBack.before, held).standings(heldBack.after)
      : undefined;
  return conditions.gates.map((gate, k) => {
    const { name, figure, of, over, cases, at_least, above, at_most, below } = gate;
    const limits = Object.entries({ at_least, above, at_most, below }).filter(
      ([, limit]) => limit !== undefined,
    );
    const standing: Standing | undefined = cases === undefined ? onHeld?.[k] : undefined;
    return {
      name,
      figure,
      of,
      over,
      limits: Object.fromEntries(limits),
      before: before[k]!,
      after: after[k]!,
      held_back: standing ?? null,
    };
  });
}

function searchOf({ tune, surroundings, trials, evaluations }: ReportSource): SearchReport {
  const count = (state: Trial['state']) => trials.filter((trial) => trial.state === state).length;
  return {
    seed: tune.seed,
    budget: tune.evaluations,
    evaluations,
    around: surroundings.looked,
    different: trials.length,
    held: count('held'),
    broken: count('broken'),
    refused: count('refused'),
    failed: count('failed'),
    reason: trials.find(({ reason }) => reason !== null)?.reason ?? null,
  };
}
