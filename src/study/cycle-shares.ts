import { shown } from '../config/document.ts';
import type { StudyFile } from '../config/study-file.ts';
import { suggest } from '../config/suggest.ts';
import type { Plan } from './plan.ts';
import type { StudyProblems } from './study-problems.ts';

/**
 * Shares of the distance in sum 1.
 *
 * @param shares of the study file, or undefined where it gives none
 * @param names of all cycles of the study
 * @param problems to which what is wrong with them is added
 */
export function cycleSharesOf(
  shares: StudyFile['cycle_shares'],
  names: readonly string[],
  problems: StudyProblems,
): Plan['cycleShares'] {
  if (shares === undefined) return null;
  const at = ['cycle_shares'];
  for (const name of Object.keys(shares)) {
    if (names.includes(name)) continue;
    const near = suggest(name, names);
    problems.at([...at, name], {
      code: 'unknown-cycle',
      found: shown(name),
      expected: `the name of a cycle that is listed: ${names.join(', ')}`,
      ...(near === undefined ? {} : { hint: `did you mean "${near}"?` }),
    });
  }
  const missing = names.filter((name) => !Object.hasOwn(shares, name));
  if (missing.length > 0) {
    problems.at(at, {
      code: 'missing-key',
      found: `no share of ${missing.join(', ')}`,
      expected: 'a share for each cycle that is listed',
      hint: 'a cycle that is not to count has a share of 0',
    });
  }
  const sum = Object.values(shares).reduce((total, share) => total + share, 0);
  if (sum <= 0) {
    problems.at(at, {
      code: 'out-of-range',
      found: `shares in sum ${sum} of ${names.join(', ')}`,
      expected: 'a share above 0 for one cycle at least',
    });
  }
  return Object.fromEntries(names.map((name) => [name, (shares[name] ?? 0) / sum]));
}
