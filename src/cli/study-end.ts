import { printable } from '../output/problems.ts';
import { counted, firstWords } from '../output/study-words.ts';
import type { Failure } from '../study/ranking.ts';
import { CasesFailed } from './cases-failed.ts';
import type { StudyOptions } from './study.ts';
import type { Outcome } from './study-results.ts';
import { TraceNotFollowed } from './trace-not-followed.ts';

/**
 * Says what is wrong with results that are written.
 * @throws CasesFailed where cases failed, else TraceNotFollowed where too much is missing in some
 */
export function holdOutcome({ ranking, defects }: Outcome, options: EndOptions): void {
  const { failed, failures, notFollowed, done } = ranking;
  if (failed > 0) {
    const reasons = failures.map((failure) => `  ${reasonWords(failure)}\n`);
    const named = failures.reduce((sum, { cases }) => sum + cases, 0);
    const more = failed > named ? `  ${counted(failed - named, 'case')} for other reasons\n` : '';
    const head = `${failed} of ${counted(done + failed, 'case')} failed:\n`;
    throw new CasesFailed(`${head}${reasons.join('')}${more}${rerunWords(options)}`, defects > 0);
  }
  if (notFollowed > 0) {
    throw new TraceNotFollowed(
      `the trace was not followed in ${notFollowed} of ${counted(done, 'case')}: more than ${options.tolerance} % of the tractive energy is missing (columns shortfall_pct_of_tractive and those of the references); --tolerance says how much may be`,
    );
  }
}

type EndOptions = Pick<StudyOptions, 'tolerance' | 'out' | 'merge'>;

function reasonWords(failure: Failure): string {
  return `${counted(failure.cases, 'case')}${firstWords(failure)}: ${failure.kind}: ${printable(failure.message)}`;
}

/** What becomes of failed cases when the study is run again. */
function rerunWords({ out, merge }: EndOptions): string {
  if (merge !== undefined) {
    return 'The whole study, run into the folder of this merge, tries them again, and only them.';
  }
  if (out !== undefined) return 'The same command tries them again, and only them.';
  return 'Nothing is kept without `--out FOLDER`: the same command runs all cases again.';
}
