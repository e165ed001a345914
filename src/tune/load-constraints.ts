import { shown } from '../config/document.ts';
import { type Gate, limitsFault } from '../config/load-gates.ts';
import { suggest } from '../config/suggest.ts';
import type { TuneFile } from '../config/tune-file.ts';
import { figureFault } from '../study/gates.ts';
import type { StudyProblems } from '../study/study-problems.ts';
import { FLAT_COLUMNS } from '../summary/flat-columns.ts';

/**
 * The constraints of a tune as gates.
 *
 * @param constraints of its file
 * @param cycles names of those that numbers are tuned on
 * @param problems to which what is wrong with them is added
 */
export function gatesOf(
  constraints: TuneFile['constraints'],
  cycles: readonly string[],
  problems: StudyProblems,
): Gate[] {
  const columns = new Set(FLAT_COLUMNS.map(({ name }) => name));
  return constraints.map((constraint, k) => {
    const { name = constraint.figure, cases, ...conditions } = constraint;
    const place = ['constraints', k];
    const limits = limitsFault(constraint);
    if (limits !== undefined) problems.at(place, limits);
    const figure = figureFault(constraint, columns);
    if (figure !== undefined) problems.at([...place, 'figure'], figure);
    for (const cycle of [cases?.cycle ?? []].flat()) {
      if (cycles.includes(cycle)) continue;
      const near = suggest(cycle, cycles);
      problems.at([...place, 'cases', 'cycle'], {
        code: 'unknown-cycle',
        found: shown(cycle),
        expected: `the name of a cycle that the numbers are tuned on: ${cycles.join(', ')}`,
        ...(near === undefined ? {} : { hint: `did you mean "${near}"?` }),
      });
    }
    const about = cases?.cycle === undefined ? {} : { cases: { cycle: cases.cycle } };
    return { name, ...conditions, ...(about as Pick<Gate, 'cases'>) };
  });
}
