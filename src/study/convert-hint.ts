import { basename, dirname, extname, join } from 'node:path';
import type { Problem } from '../config/problem.ts';

/** A flag of logged drives, as hints name it. */
const FLAG = /`(--(?:delimiter|decimal|columns|clean|bridge|resample)\b[^`]*)`/;

/**
 * Problems of the drives of a cycle as a study tells them. It has no flags to say how a log is to be
 * read or cleaned, so the last hint of each file that asks for one says which command takes it.
 */
export function withConvert(problems: readonly Problem[]): Problem[] {
  const asking = (file: string) => (problem: Problem) =>
    problem.file === file && FLAG.test(problem.hint ?? '');
  return problems.map((problem, index) => {
    const { file, hint = '' } = problem;
    if (file === undefined || problems.findLastIndex(asking(file)) !== index) return problem;
    const [, flag] = FLAG.exec(hint) ?? [];
    const made = join(dirname(file), `${basename(file, extname(file))}-cycle.csv`);
    const command = `spinledger cycle convert ${quoted(file)} ${quoted(made)} ${flag}`;
    const more = `a study takes no such flag: make a cycle of the log first, \`${command}\`, and name that one`;
    return { ...problem, hint: `${hint}; ${more}` };
  });
}

/** A path as a shell takes it. */
function quoted(path: string): string {
  return /^[\w./+:@%-]+$/.test(path) ? path : `'${path.replaceAll("'", "'\\''")}'`;
}
