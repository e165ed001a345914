import type { Gate } from '../config/load-gates.ts';
import { PERCENT } from '../config/units.ts';
import type { Figure } from './figures.ts';
import type { GateScope } from './gate-scope.ts';
import { groupedBy, type Matching, type OneSided } from './match.ts';
import type { ResultRow } from './result-row.ts';
import type { Result } from './results.ts';
import { type CycleShares, weighted } from './shares.ts';

/** What a gate is held against: a case, or the mean over the cycles of several. */
export interface GateValue {
  /** The case, or the first of the cases of a mean. */
  readonly of: OneSided;
  /** Figures before and after; NaN where there is none. */
  readonly before: number;
  readonly after: number;
  /** What the limits are for; NaN where there is none. */
  readonly value: number;
  /** Why there is none; null where there is one. */
  readonly why: string | null;
}

/** A case as a gate looks at it. */
interface Entry {
  readonly before: ResultRow | undefined;
  readonly after: ResultRow | undefined;
  /** Why nothing can be said of it. */
  readonly trouble: string | null;
}

/** The two results and how their cases belong together. */
export interface Compared {
  readonly before: Result;
  readonly after: Result;
  readonly matching: Matching;
  readonly shares: CycleShares;
}

/** All cases that a gate may look at: those after, or for a change those of both sides. */
export function casesFor(gate: Gate, { before, after }: Compared): OneSided[] {
  const old = gate.of === 'after' ? [] : before.rows;
  return [
    ...after.rows.map((row) => ({ side: 'after', row }) as const),
    ...old.map((row) => ({ side: 'before', row }) as const),
  ];
}

/**
 * What a gate is held against. A case that failed, or is not there to be compared, is among the
 * values: nothing can be said of it, so that its gate does not hold.
 */
export function gateValues(
  gate: Gate,
  figure: Figure,
  scope: GateScope,
  compared: Compared,
): GateValue[] {
  const entries = entriesFor(gate, compared).filter((entry) => scope.includes(sideOf(entry)));
  if (gate.over === 'each') {
    return entries.map((entry) =>
      gateValue(gate, sideOf(entry), entry.trouble, {
        before: entry.before?.failure === null ? figure.of(entry.before.figures) : Number.NaN,
        after: entry.after?.failure === null ? figure.of(entry.after.figures) : Number.NaN,
      }),
    );
  }
  const { matching, shares } = compared;
  const groups = groupedBy(entries, (entry) => {
    const { side, row } = sideOf(entry);
    return matching.groupOf(side, row);
  });
  // A mean over fewer cycles than its neighbours' may be high because the hard one is not in it.
  const needed = shares.needed ?? [...new Set(entries.map(cycleOf))];
  const cycles = needed.filter(scope.hasCycle);
  return [...groups.values()].map((group) => meanOfGroup(gate, figure, cycles, group, shares));
}

function meanOfGroup(
  gate: Gate,
  figure: Figure,
  needed: readonly string[],
  group: readonly Entry[],
  shares: CycleShares,
): GateValue {
  const counted = group.filter((entry) => shares.of(cycleOf(entry)) > 0);
  const byCycle = groupedBy(counted, cycleOf);
  const troubles = [
    ...counted.flatMap((entry) =>
      entry.trouble === null ? [] : [`${cycleOf(entry)}: ${entry.trouble}`],
    ),
    ...needed
      .filter((cycle) => !byCycle.has(cycle))
      .map((cycle) => `no case on ${cycle}, which has a share in the mean`),
    ...[...byCycle]
      .filter(([, entries]) => entries.length > 1)
      .map(([cycle]) => `${cycle} stands more than once`),
  ];
  const mean = (side: 'before' | 'after') => {
    const rows = counted.flatMap((entry) => entry[side] ?? []);
    return figure.mean?.(weighted(rows, shares)) ?? Number.NaN;
  };
  const figures =
    troubles.length === 0
      ? { before: mean('before'), after: mean('after') }
      : { before: Number.NaN, after: Number.NaN };
  if (troubles.length === 0) troubles.push(...gapsIn(gate, figure, counted, figures));
  const [first] = group;
  const trouble = troubles.length === 0 ? null : troubles.join('; ');
  return gateValue(gate, sideOf(first as Entry), trouble, figures);
}

/** The cycles without a figure, where they leave a mean that a gate needs without one. */
function gapsIn(
  gate: Gate,
  figure: Figure,
  entries: readonly Entry[],
  means: Pick<GateValue, 'before' | 'after'>,
): string[] {
  const sides = gate.of === 'after' ? (['after'] as const) : (['before', 'after'] as const);
  return sides.flatMap((side) => {
    if (Number.isFinite(means[side])) return [];
    const lacking = entries.filter((entry) => {
      const row = entry[side];
      if (row === undefined) return false;
      return !Number.isFinite(figure.mean?.([{ figures: row.figures, share: 1 }]) ?? Number.NaN);
    });
    return lacking.map((entry) => `${cycleOf(entry)}: no figure ${side}`);
  });
}

/** The case by the name it has after, else before. */
function sideOf({ before, after }: Entry): OneSided {
  return after === undefined
    ? { side: 'before', row: before as ResultRow }
    : { side: 'after', row: after };
}

function cycleOf(entry: Entry): string {
  return sideOf(entry).row.names.cycle;
}

function entriesFor({ of }: Gate, { after, matching }: Compared): Entry[] {
  if (of === 'after') {
    return after.rows.map((row) => ({ before: undefined, after: row, trouble: failure(row, '') }));
  }
  const { pairs, failed, unmatched, doubled } = matching;
  return [
    ...pairs.map((pair) => ({ ...pair, trouble: null })),
    ...failed.map((pair) => ({
      ...pair,
      trouble: failure(pair.after, ' after') ?? failure(pair.before, ' before'),
    })),
    ...unmatched.map((one) =>
      alone(one, `only ${one.side}, so that there is nothing to compare it with`),
    ),
    ...doubled.map((one) =>
      alone(one, 'stands more than once on a side, so that it is not clear what to compare'),
    ),
  ];
}

function alone({ side, row }: OneSided, trouble: string): Entry {
  return side === 'before'
    ? { before: row, after: undefined, trouble }
    : { before: undefined, after: row, trouble };
}

function failure(row: ResultRow, when: string): string | null {
  return row.failure === null ? null : `failed${when}: ${row.failure}`;
}

function gateValue(
  { of: kind }: Gate,
  of: OneSided,
  trouble: string | null,
  figures: Pick<GateValue, 'before' | 'after'>,
): GateValue {
  const { before, after } = figures;
  const value = trouble === null ? wanted(kind, before, after) : Number.NaN;
  return { of, before, after, value, why: trouble ?? reason(kind, value, before, after) };
}

function wanted(kind: Gate['of'], before: number, after: number): number {
  switch (kind) {
    case 'after':
      return after;
    case 'change':
      return after - before;
    case 'change_pct':
      // Nothing to take it of, yet plainly no change.
      return before === after ? 0 : (after - before) / Math.abs(before) / PERCENT;
  }
}

const NONE_THERE = ': the result has null there, or nothing';

function reason(kind: Gate['of'], value: number, before: number, after: number): string | null {
  if (Number.isFinite(value)) return null;
  if (!Number.isFinite(after)) return `no figure after${NONE_THERE}`;
  if (kind !== 'after' && !Number.isFinite(before)) return `no figure before${NONE_THERE}`;
  return 'the figure is 0 before, of which no change in % can be taken';
}
