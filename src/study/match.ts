import {
  type ChangedDimension,
  type Dimension,
  type DimensionValue,
  dimensionsOf,
  variedIn,
} from './dimensions.ts';
import type { ResultRow } from './result-row.ts';
import type { Result } from './results.ts';

/** The two sides of a comparison. */
export type Side = 'before' | 'after';

/** A case that ran before and after. */
export interface Pair {
  readonly before: ResultRow;
  readonly after: ResultRow;
}

/** A case of one side. */
export interface OneSided {
  readonly side: Side;
  readonly row: ResultRow;
}

/** Which case of one result is which of the other. Every case stands in exactly one of the lists. */
export interface Matching {
  /** Dimensions of the rows of each side, in one order. */
  readonly dimensions: Readonly<Record<Side, readonly Dimension[]>>;
  /** What has one value before and another one after; cases are matched without it. */
  readonly changed: readonly ChangedDimension[];
  /** Cases that ran on both sides, in the order of the result after. */
  readonly pairs: readonly Pair[];
  /** Cases on both sides that failed on one of them, or on both. */
  readonly failed: readonly Pair[];
  /** Cases of one side alone, failed ones among them. */
  readonly unmatched: readonly OneSided[];
  /** Cases that stand more than once on one side, with all that bear their names on both. */
  readonly doubled: readonly OneSided[];
  /** What a case is matched by. */
  readonly keyOf: (side: Side, row: ResultRow) => string;
  /** The same without its cycle: what cases have in common of which a mean is taken. */
  readonly groupOf: (side: Side, row: ResultRow) => string;
}

/**
 * Matches cases by car, store, strategy, cycle and varied numbers. Their hashes are of no use here:
 * they change with every change that is to be looked at.
 *
 * A dimension that has one value on each side, but not the same (strategy A against strategy B), is
 * left out, so that two single runs are always one case.
 */
export function matchCases(before: Result, after: Result): Matching {
  const varied = variedIn(before, after);
  const dimensions = { before: dimensionsOf(before, varied), after: dimensionsOf(after, varied) };
  const changed = changedIn(before, after, dimensions);
  const left = changed.map(({ name }) => name);
  const keyOf = keyWithout(left, dimensions);
  const groupOf = keyWithout([...left, 'cycle'], dimensions);
  const found = { pairs: [] as Pair[], failed: [] as Pair[], unmatched: [] as OneSided[] };
  const doubled: OneSided[] = [];
  const old = groupedBy(before.rows, (row) => keyOf('before', row));
  const now = groupedBy(after.rows, (row) => keyOf('after', row));
  for (const key of new Set([...now.keys(), ...old.keys()])) {
    const [first, ...more] = old.get(key) ?? [];
    const [second, ...further] = now.get(key) ?? [];
    const sides: OneSided[] = [
      ...(old.get(key) ?? []).map((row) => ({ side: 'before', row }) as const),
      ...(now.get(key) ?? []).map((row) => ({ side: 'after', row }) as const),
    ];
    if (more.length + further.length > 0) doubled.push(...sides);
    else if (first === undefined || second === undefined) found.unmatched.push(...sides);
    else {
      const ran = first.failure === null && second.failure === null;
      found[ran ? 'pairs' : 'failed'].push({ before: first, after: second });
    }
  }
  return { dimensions, changed, ...found, doubled, keyOf, groupOf };
}

/** A function that tells what a case has in all dimensions but some. */
function keyWithout(
  left: readonly string[],
  { before, after }: Matching['dimensions'],
): Matching['keyOf'] {
  const isKept = ({ name }: Dimension) => !left.includes(name);
  const kept = { before: before.filter(isKept), after: after.filter(isKept) };
  return (side, row) => kept[side].map(({ of }) => String(of(row))).join('\0');
}

/** Things in the order in which they come, together with those of the same key. */
export function groupedBy<T>(things: readonly T[], keyOf: (thing: T) => string): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const thing of things) {
    const key = keyOf(thing);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [thing]);
    else group.push(thing);
  }
  return groups;
}

function changedIn(
  before: Result,
  after: Result,
  dimensions: Matching['dimensions'],
): ChangedDimension[] {
  return dimensions.after.flatMap((dimension, index) => {
    const old = onlyValue(before, dimensions.before[index]);
    const now = onlyValue(after, dimension);
    const differ = old !== undefined && now !== undefined && old.value !== now.value;
    return differ ? [{ name: dimension.name, before: old.value, after: now.value }] : [];
  });
}

/** The value that all cases have in a dimension; undefined where they have several. */
function onlyValue(
  { rows }: Result,
  dimension: Dimension | undefined,
): { readonly value: DimensionValue } | undefined {
  const [first] = rows;
  if (dimension === undefined || first === undefined) return undefined;
  const value = dimension.of(first);
  return rows.every((row) => dimension.of(row) === value) ? { value } : undefined;
}
