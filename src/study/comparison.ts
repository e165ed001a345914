import type { LoadedGates } from '../config/load-gates.ts';
import { type FigureChange, fuelChange, meanChanges } from './difference.ts';
import type { Weighted } from './figures.ts';
import { checkFigures, type GateResult, holdGate } from './gates.ts';
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
import type { Result } from './results.ts';
import { type CycleShares, cycleShares, weighted } from './shares.ts';

/** Fuel that changes by less than this, of that before, counts as unchanged. */
export const UNCHANGED = 1e-5;

/** The mean over the cycles of a car with a store, a strategy and varied numbers. */
export interface MeanChange {
  /** The first of the cases. */
  readonly of: OneSided;
  /** How many cases are in the mean. */
  readonly cases: number;
  /** How many should be in it but failed, or have nothing to be compared with. */
  readonly lacking: number;
  readonly figures: readonly FigureChange[];
  readonly ledger: LedgerChange;
}

/** What `compare` found out. */
export interface Comparison {
  readonly before: Result;
  readonly after: Result;
  readonly matching: Matching;
  readonly shares: CycleShares;
  /** Of the matched cases: less fuel with the store, more, or as much. */
  readonly counts: {
    readonly better: number;
    readonly worse: number;
    readonly unchanged: number;
    /** Cases whose inputs are the same before and after. */
    readonly sameInputs: number;
  };
  readonly means: readonly MeanChange[];
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
 * Compares two results and holds gates against them.
 * @param before
 * @param after
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
  const compared = { before, after, matching, shares };
  return {
    ...compared,
    counts: {
      better,
      worse,
      unchanged: changes.length - better - worse,
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
  const all: Record<Side, Weighted[]> = { before: [], after: [] };
  const means = [...groups].map(([key, group]): MeanChange => {
    const old = group.map(({ before }) => before);
    const now = group.map(({ after }) => after);
    const before = weighted(old, shares);
    const after = weighted(now, shares);
    all.before.push(...ofSumOne(before));
    all.after.push(...ofSumOne(after));
    const cycles = new Set(now.map(({ names }) => names.cycle));
    const needed = shares.needed ?? (lost.get(key) ?? []).map(({ row }) => row.names.cycle);
    return {
      of: { side: 'after', row: now[0]! },
      cases: group.length,
      lacking: new Set(needed.filter((cycle) => !cycles.has(cycle))).size,
      figures: meanChanges(before, after),
      ledger: ledgerChange(before, after),
    };
  });
  return { means, ledger: means.length === 0 ? null : ledgerChange(all.before, all.after) };
}

/** Every group counts the same in a mean of several, however its shares add up. */
function ofSumOne(cases: readonly Weighted[]): Weighted[] {
  const sum = cases.reduce((total, { share }) => total + share, 0);
  return cases.map(({ figures, share }) => ({ figures, share: share / sum }));
}
