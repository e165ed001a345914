import type { LoadedGates } from '../config/load-gates.ts';
import { COMPARED_COLUMNS, fuelChange, meanChanges } from './difference.ts';
import type { Weighted } from './figures.ts';
import { checkFigures, type GateResult, gateColumns, holdGate } from './gates.ts';
import { type LedgerChange, ledgerChange } from './ledger-change.ts';
import {
  groupedBy,
  type Matching,
  matchCases,
  type OneSided,
  type Pair,
  type Side,
} from './match.ts';
import { noticesOf } from './notices.ts';
import { type Result, readResult } from './results.ts';
import { type CycleShares, cycleShares, weighted } from './shares.ts';

/** Fuel that changes by less than this, of that before, counts as unchanged. */
export const UNCHANGED = 1e-5;

/** Cases of a car with a store, a strategy and varied numbers, of whose cycles a mean is taken. */
export interface MeanGroup {
  /** One case at least */
  readonly pairs: readonly Pair[];
  /** How many cycles should be in it too, but failed or have nothing to be compared with. */
  readonly lacking: number;
}

/** What `compare` found out. */
export interface Comparison {
  readonly before: Result;
  readonly after: Result;
  readonly matching: Matching;
  readonly shares: CycleShares;
  /** Of the matched cases: less fuel with the store, more, as much, or no figure for it on a side. */
  readonly counts: {
    readonly better: number;
    readonly worse: number;
    readonly unchanged: number;
    readonly noFigure: number;
    /** Cases whose inputs are the same before and after. */
    readonly sameInputs: number;
  };
  readonly means: readonly MeanGroup[];
  /** What moved in the ledger, in the mean of all of `means`; null where there is none. */
  readonly ledger: LedgerChange | null;
  readonly gates: {
    readonly name: string;
    readonly file: string;
    readonly results: readonly GateResult[];
  } | null;
  /** What a reader has to know, in sentences. */
  readonly notices: readonly string[];
}

/**
 * Reads a result with the figures that a comparison looks at.
 * @param source file with the JSON of a run, `-` for standard input, or the folder of a study
 * @param gates that will be held against it, if any
 * @throws InputError where it is no result, or not whole
 */
export function readCompared(source: string, gates?: LoadedGates): Promise<Result> {
  const asked = gates === undefined ? [] : gateColumns(gates);
  return readResult(source, { required: COMPARED_COLUMNS, asked });
}

/**
 * Compares two results and holds gates against them.
 * @param before as `readCompared` read it, with the same gates
 * @param after likewise
 * @param gates that are held, if any
 * @throws InputError where the gates name a figure or a cycle that there is not
 */
export function compare(before: Result, after: Result, gates?: LoadedGates): Comparison {
  if (gates !== undefined) checkFigures(gates, new Set([...before.figures, ...after.figures]));
  const matching = matchCases(before, after);
  const shares = cycleShares(before, after, matching, gates);
  const changes = matching.pairs.map(fuelChange);
  const better = changes.filter((change) => change < -UNCHANGED).length;
  const worse = changes.filter((change) => change > UNCHANGED).length;
  const noFigure = changes.filter(Number.isNaN).length;
  const compared = { before, after, matching, shares };
  return {
    ...compared,
    counts: {
      better,
      worse,
      unchanged: changes.length - better - worse - noFigure,
      noFigure,
      sameInputs: matching.pairs.filter(isSameInput).length,
    },
    ...meansOf(matching, shares),
    gates:
      gates === undefined
        ? null
        : {
            name: gates.content.name,
            file: gates.document.file,
            results: gates.content.gates.map((gate) => holdGate(gate, compared)),
          },
    notices: noticesOf(compared),
  };
}

/** Whether a case is made from the same inputs by the same model. */
export function isSameInput({ before, after }: Pair): boolean {
  return before.hash === after.hash;
}

function meansOf(
  { pairs, failed, unmatched, doubled, groupOf }: Matching,
  shares: CycleShares,
): Pick<Comparison, 'means' | 'ledger'> {
  const counted = pairs.filter(({ after }) => shares.of(after.names.cycle) > 0);
  const groups = groupedBy(counted, ({ after }) => groupOf('after', after));
  const others = [
    ...failed.map(({ after: row }): OneSided => ({ side: 'after', row })),
    ...unmatched,
    ...doubled,
  ].filter(({ row }) => shares.of(row.names.cycle) > 0);
  const lost = groupedBy(others, ({ side, row }) => groupOf(side, row));
  const means = [...groups].map(([key, group]): MeanGroup => {
    const cycles = new Set(group.map(({ after }) => after.names.cycle));
    const needed = shares.needed ?? (lost.get(key) ?? []).map(({ row }) => row.names.cycle);
    return {
      pairs: group,
      lacking: new Set(needed.filter((cycle) => !cycles.has(cycle))).size,
    };
  });
  return { means, ledger: means.length === 0 ? null : ledgerOfAll(means, shares) };
}

/** How the means of a group have changed. */
export function groupChange({ pairs }: MeanGroup, { shares }: Pick<Comparison, 'shares'>) {
  const { before, after } = bothSides(pairs, shares);
  return { figures: meanChanges(before, after), ledger: ledgerChange(before, after) };
}

/** What moved in the mean of several groups, each of which counts the same. */
function ledgerOfAll(means: readonly MeanGroup[], shares: CycleShares): LedgerChange {
  const sides = means.map(({ pairs }) => bothSides(pairs, shares));
  return ledgerChange(
    sides.flatMap(({ before }) => ofSumOne(before)),
    sides.flatMap(({ after }) => ofSumOne(after)),
  );
}

function bothSides(pairs: readonly Pair[], shares: CycleShares): Record<Side, Weighted[]> {
  return {
    before: weighted(
      pairs.map(({ before }) => before),
      shares,
    ),
    after: weighted(
      pairs.map(({ after }) => after),
      shares,
    ),
  };
}

/** Every group counts the same in a mean of several, however its shares add up. */
function ofSumOne(cases: readonly Weighted[]): Weighted[] {
  const sum = cases.reduce((total, { share }) => total + share, 0);
  return cases.map(({ figures, share }) => ({ figures, share: share / sum }));
}
