import type { AxisShape, Plan, PlannedCase, PlanShape } from './plan.ts';

/** So many cases are shown at each end of a plan. */
const SHOWN = 3;

/** What a study is going to do, as data. */
export interface PlanDescription {
  readonly study: string;
  readonly cases: number;
  /** Of all lists and axes, each with each. */
  readonly combinations: number;
  readonly parts: PlanShape['product'];
  readonly axes: readonly AxisDescription[];
  readonly excluded: number;
  readonly exclusions: PlanShape['exclusions'];
  /** Cases that the study lists by themselves. */
  readonly listed: number;
  /** Cases that are the same as another, and are not run again. */
  readonly repeated: number;
  readonly cycle_shares: Plan['cycleShares'];
  readonly outputs: Plan['outputs'];
  readonly varied: Plan['varied'];
  /** First and last cases; all of them where they are few. */
  readonly first: readonly PlannedCase[];
  readonly last: readonly PlannedCase[];
}

/** A number of an axis and its values. */
export interface AxisDescription {
  readonly path: string;
  readonly form: AxisShape['form'];
  readonly count: number;
  readonly least: number;
  readonly greatest: number;
  /** All numbers of an axis have the same index: they vary together. */
  readonly axis: number;
}

/**
 * What a study is going to do, before anything is run.
 *
 * @param plan of the study
 */
export function describePlan(plan: Plan): PlanDescription {
  const { name, count, cycleShares, outputs, varied, shape } = plan;
  const { combinations, product, axes, excluded, exclusions, listed, repeated } = shape;
  const head = count <= 2 * SHOWN ? count : SHOWN;
  const tail = count - head > 0 ? SHOWN : 0;
  const cases = (from: number, length: number) =>
    Array.from({ length }, (_, k) => plan.caseAt(from + k));
  return {
    study: name,
    cases: count,
    combinations,
    parts: product,
    axes: axes.flatMap(describeAxis),
    excluded,
    exclusions,
    listed,
    repeated,
    cycle_shares: cycleShares,
    outputs,
    varied,
    first: cases(0, head),
    last: cases(count - tail, tail),
  };
}

function describeAxis({ form, count, paths }: AxisShape, axis: number): AxisDescription[] {
  return paths.map(({ path, values }) => {
    let least = Number.POSITIVE_INFINITY;
    let greatest = Number.NEGATIVE_INFINITY;
    for (const value of values) {
      if (value < least) least = value;
      if (value > greatest) greatest = value;
    }
    return { path, form, count, least, greatest, axis };
  });
}
