import type { Gate } from '../config/load-gates.ts';
import { suggest } from '../config/suggest.ts';
import type { Dimension, DimensionValue } from './dimensions.ts';
import type { Matching, OneSided } from './match.ts';
import { isSame } from './same-number.ts';
import type { CycleShares } from './shares.ts';

/** Which cases a gate is about. */
export interface GateScope {
  readonly includes: (one: OneSided) => boolean;
  /** Whether means of the gate are taken over a cycle. */
  readonly hasCycle: (cycle: string) => boolean;
  /** Why the gate cannot hold whatever the figures are; null if it can. */
  readonly fault: string | null;
}

/**
 * The scope of a gate. What it names must be there: a gate that names a cycle with a slip of the pen
 * would otherwise look at less than was meant, and hold.
 *
 * @param gate
 * @param cases that it may look at
 * @param matching a dimension that was changed on purpose is known by both of its names
 * @param shares of the cycles in means
 */
export function gateScope(
  gate: Gate,
  cases: readonly OneSided[],
  matching: Pick<Matching, 'dimensions' | 'changed'>,
  shares: CycleShares,
): GateScope {
  const wanted = Object.entries(gate.cases ?? {}).map(([name, values]) => ({
    name,
    values: [values].flat() as readonly (string | number)[],
  }));
  const cycles = wanted.find(({ name }) => name === 'cycle')?.values;
  const valuesOf = valuesIn(matching);
  const faults = [
    ...wanted.flatMap(({ name, values }) => nameFaults(name, values, cases, valuesOf)),
    ...(gate.over === 'mean' ? (cycles ?? []) : [])
      .filter((cycle) => shares.of(String(cycle)) === 0)
      .map((cycle) => `the cycle ${cycle} has no share in means`),
  ];
  return {
    includes: (one) =>
      wanted.every(({ name, values }) =>
        valuesOf(one, name).some((value) => values.some((wished) => isMeant(wished, value))),
      ),
    hasCycle: (cycle) => cycles === undefined || cycles.includes(cycle),
    fault: faults.length === 0 ? null : faults.join('; '),
  };
}

type ValuesOf = (one: OneSided, name: string) => readonly DimensionValue[];

/** What a case has in a dimension: one value, or both where it was changed on purpose. */
function valuesIn({ dimensions, changed }: Pick<Matching, 'dimensions' | 'changed'>): ValuesOf {
  const find = (list: readonly Dimension[], name: string) => list.find((one) => one.name === name);
  return ({ side, row }, name) => {
    const both = changed.find((one) => one.name === name);
    if (both !== undefined) return [both.before, both.after];
    const dimension = find(dimensions[side], name);
    return dimension === undefined ? [] : [dimension.of(row)];
  };
}

/** Whether a case has what a gate names: a number as it does where a study excludes one. */
function isMeant(wished: string | number, value: DimensionValue): boolean {
  if (typeof wished === 'number' && typeof value === 'number') return isSame(wished, value);
  return wished === value;
}

function nameFaults(
  name: string,
  values: readonly (string | number)[],
  cases: readonly OneSided[],
  valuesOf: ValuesOf,
): string[] {
  const known = [...new Set(cases.flatMap((one) => valuesOf(one, name)))];
  return values
    .filter((value) => !known.some((one) => isMeant(value, one)))
    .map((value) => {
      const texts = known.filter((other) => typeof other === 'string');
      const near = typeof value === 'string' ? suggest(value, texts) : undefined;
      return `no case has ${name} ${value}${near === undefined ? '' : `; did you mean ${near}?`}`;
    });
}
