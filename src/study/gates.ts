import { DocumentProblems, type Fault } from '../config/document.ts';
import type { Gate, GateLimits, LoadedGates } from '../config/load-gates.ts';
import { suggest } from '../config/suggest.ts';
import { type Figure, figureNamed } from './figures.ts';
import { gateScope } from './gate-scope.ts';
import { type Compared, casesFor, type GateValue, gateValues } from './gate-values.ts';

/** So many of the cases for which a gate does not hold are kept, the worst ones. */
const KEPT = 10;

/** How a gate turned out. */
export interface GateResult {
  readonly gate: Gate;
  readonly holds: boolean;
  /** How many values it was held against. */
  readonly looked: number;
  /** For how many of them it does not hold. */
  readonly missed: number;
  /** The worst of these: those of which nothing can be said, then those farthest off. */
  readonly worst: readonly GateValue[];
  /** The value nearest to a limit where all hold; null where there is none. */
  readonly nearest: GateValue | null;
  /** Why it does not hold as a whole, whatever the figures are; null for a matter of figures. */
  readonly why: string | null;
}

/**
 * Checks that results have the figures that gates name, and that the means make sense.
 * @param known columns of the results that hold figures; none where every case has failed
 * @throws InputError with every figure that there is not
 */
export function checkFigures({ content, document }: LoadedGates, known: ReadonlySet<string>): void {
  const problems = new DocumentProblems(document);
  for (const [index, gate] of content.gates.entries()) {
    const fault = figureFault(gate, known);
    if (fault !== undefined) problems.add(['gates', index, 'figure'], fault);
  }
  problems.throwIfAny();
}

/**
 * What is wrong with the figure of a gate.
 * @param known columns of the results that hold figures; none where that is not known
 */
export function figureFault(
  { figure: name, over }: Pick<Gate, 'figure' | 'over'>,
  known: ReadonlySet<string>,
): Fault | undefined {
  const figure = figureNamed(name);
  if (known.size > 0 && !figure.columns.every((column) => known.has(column))) {
    const near = suggest(name, [...known].flatMap(withPerKm));
    return {
      code: 'unknown-figure',
      found: name,
      expected: 'a column of the results that holds numbers',
      hint:
        near === undefined
          ? 'they are the columns of `spinledger run --format csv`'
          : `did you mean \`${near}\`?`,
    };
  }
  if (over !== 'mean' || figure.mean !== undefined) return undefined;
  return {
    code: 'no-mean',
    found: name,
    expected:
      'a figure per distance, a saving, the gap to the bound or the shortfall in %: of no other does a mean over cycles say something',
    hint: name.endsWith('_kJ')
      ? `per distance it is \`${name}_per_km\``
      : 'leave out "over": "mean" to hold every case by itself',
  };
}

function withPerKm(column: string): string[] {
  return column.endsWith('_kJ') ? [column, `${column}_per_km`] : [column];
}

/** Columns that the figures of gates are worked out from. */
export function gateColumns({ content }: LoadedGates): string[] {
  return content.gates.flatMap(({ figure }) => figureNamed(figure).columns);
}

/**
 * Holds a gate against results. It holds only if there is something to look at and all of it is
 * within the limits: a figure without a value, a case that failed, and for a change one that is not
 * on both sides, is outside of every limit.
 */
export function holdGate(gate: Gate, compared: Compared): GateResult {
  const cases = casesFor(gate, compared);
  const scope = gateScope(gate, cases, compared.matching, compared.shares);
  const none = { gate, holds: false, looked: 0, missed: 0, worst: [], nearest: null };
  if (scope.fault !== null) return { ...none, why: scope.fault };
  const figure: Figure = figureNamed(gate.figure);
  const values = gateValues(gate, figure, scope, compared);
  if (values.length === 0) return { ...none, why: 'no case is what the gate is about' };
  const byMargin = values
    .map((value) => ({ value, margin: marginOf(gate, value.value) }))
    .toSorted((a, b) => a.margin - b.margin);
  const missed = byMargin.filter(({ value }) => !isWithin(gate, value.value));
  const holds = missed.length === 0;
  return {
    gate,
    holds,
    looked: values.length,
    missed: missed.length,
    worst: missed.slice(0, KEPT).map(({ value }) => value),
    nearest: holds ? (byMargin[0]?.value ?? null) : null,
    why: null,
  };
}

/** Whether a value is within all limits of a gate; NaN is within none. */
function isWithin({ at_least, above, at_most, below }: Gate, value: number): boolean {
  return (
    Number.isFinite(value) &&
    (at_least === undefined || value >= at_least) &&
    (above === undefined || value > above) &&
    (at_most === undefined || value <= at_most) &&
    (below === undefined || value < below)
  );
}

/** How far a value is within the nearest limit; negative beyond it, and lowest for no value. */
export function marginOf({ at_least, above, at_most, below }: GateLimits, value: number): number {
  if (!Number.isFinite(value)) return Number.NEGATIVE_INFINITY;
  const low = Math.max(at_least ?? Number.NEGATIVE_INFINITY, above ?? Number.NEGATIVE_INFINITY);
  const high = Math.min(at_most ?? Number.POSITIVE_INFINITY, below ?? Number.POSITIVE_INFINITY);
  return Math.min(value - low, high - value);
}
