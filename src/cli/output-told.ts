import type { Problem } from '../config/problem.ts';
import { formulaNotice } from '../output/formula-names.ts';
import { writeErr } from './streams.ts';

/** Says that a table which is written has names or hashes that a spreadsheet would compute or spoil. */
export function tellFormulas(texts: Iterable<string>): void {
  const notice = formulaNotice(texts);
  if (notice !== undefined) writeErr(`${notice}\n`);
}

/** Whoever means the tables that are written by a flag of reading hears of the flags for that. */
export function toldOfOutput(problem: Problem): Problem {
  const { file } = problem;
  if (file !== '--delimiter' && file !== '--decimal') return problem;
  const out = file.replace('--', '--out-');
  return { ...problem, hint: `${problem.hint}; for tables that are written there is \`${out}\`` };
}
