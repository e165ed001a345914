import { DocumentProblems } from '../config/document.ts';
import type { LoadedGates } from '../config/load-gates.ts';
import { suggest } from '../config/suggest.ts';
import type { Matching } from './match.ts';
import type { ResultRow } from './result-row.ts';
import type { Result } from './results.ts';

/** Shares of the distance that cycles have in means, and who gave them. */
export interface CycleShares {
  readonly from: 'gates' | 'study' | 'equal';
  /** By the names of cycles; null for equal ones */
  readonly shares: Readonly<Record<string, number>> | null;
  /** Cycles with a share above 0; null for equal shares, where they are those that there are. */
  readonly needed: readonly string[] | null;
  /** Cycles that cases have and that no share was given to. */
  readonly left: readonly string[];
  /** Share of a cycle; 0 for one that is left out of means. */
  readonly of: (cycle: string) => number;
}

/**
 * The shares that means are taken with: of the gates, else of the study (after, else before), else
 * equal ones.
 * @throws InputError where the gates give a share to a cycle that no case has
 */
export function cycleShares(
  before: Result,
  after: Result,
  { changed }: Pick<Matching, 'changed'>,
  gates: LoadedGates | undefined,
): CycleShares {
  const cycles = [...new Set([...after.rows, ...before.rows].map(({ names }) => names.cycle))];
  const given = gates?.content.cycle_shares;
  if (gates !== undefined && given !== undefined) checkNames(gates, Object.keys(given), cycles);
  const study = after.cycleShares ?? before.cycleShares;
  const shares = given ?? study;
  // One cycle before and another one after: there is nothing to weigh.
  if (shares === null || changed.some(({ name }) => name === 'cycle')) {
    return { from: 'equal', shares: null, needed: null, left: [], of: () => 1 };
  }
  const of = (cycle: string) => (Object.hasOwn(shares, cycle) ? (shares[cycle] ?? 0) : 0);
  return {
    from: given === undefined ? 'study' : 'gates',
    shares,
    needed: Object.keys(shares).filter((cycle) => of(cycle) > 0),
    left: cycles.filter((cycle) => of(cycle) === 0),
    of,
  };
}

function checkNames(
  { document }: LoadedGates,
  names: readonly string[],
  cycles: readonly string[],
): void {
  const problems = new DocumentProblems(document);
  for (const name of names.filter((cycle) => !cycles.includes(cycle))) {
    const near = suggest(name, cycles);
    problems.add(['cycle_shares', name], {
      code: 'unknown-cycle',
      found: 'a cycle that no case has',
      expected: `one of ${cycles.join(', ')}`,
      ...(near !== undefined && { hint: `did you mean \`${near}\`?` }),
    });
  }
  problems.throwIfAny();
}

/** Cases with their shares, without those that have none. */
export function weighted(rows: readonly ResultRow[], { of }: CycleShares) {
  return rows.flatMap(({ names, figures }) => {
    const share = of(names.cycle);
    return share > 0 ? [{ figures, share }] : [];
  });
}
