import { printable } from '../output/problems.ts';
import { counted } from '../output/study-words.ts';
import { CasesFailed } from './cases-failed.ts';
import type { StudyPrint } from './study.ts';
import type { Outcome } from './study-results.ts';
import { TraceNotFollowed } from './trace-not-followed.ts';

/**
 * Says what is wrong with results that are written.
 * @throws CasesFailed where cases failed, else TraceNotFollowed where too much is missing in some
 */
export function holdOutcome(
  { ranking, defects }: Outcome,
  { tolerance }: Pick<StudyPrint, 'tolerance'>,
): void {
  const { failed, failures, notFollowed, done } = ranking;
  if (failed > 0) {
    const reasons = failures.map(
      ({ kind, message, cases }) => `  ${counted(cases, 'case')}: ${kind}: ${printable(message)}\n`,
    );
    const named = failures.reduce((sum, { cases }) => sum + cases, 0);
    const more = failed > named ? `  ${counted(failed - named, 'case')} for other reasons\n` : '';
    const head = `${failed} of ${counted(done + failed, 'case')} failed:\n`;
    throw new CasesFailed(`${head}${reasons.join('')}${more}${RERUN}`, defects > 0);
  }
  if (notFollowed > 0) {
    throw new TraceNotFollowed(
      `the trace was not followed in ${notFollowed} of ${counted(done, 'case')}: more than ${tolerance} % of the tractive energy is missing (columns shortfall_pct_of_tractive and those of the references); --tolerance says how much may be`,
    );
  }
}

const RERUN = 'The same command tries them again, and only them.';
