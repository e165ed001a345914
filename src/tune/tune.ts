import type { DriveReport } from '../config/load-drive.ts';
import type { Gate } from '../config/load-gates.ts';
import type { TuneFile } from '../config/tune-file.ts';
import type { DocumentPart } from '../study/documents.ts';
import type { DocumentKind } from '../study/number-path.ts';
import type { PartCheck } from '../study/part-check.ts';
import type { PlanInput } from '../study/plan.ts';
import type { StudySources } from '../study/sources.ts';
import type { TunedNumber } from './numbers.ts';

/** A cycle that numbers are tuned on, or one that is held back to see what they are worth. */
export interface TuneCycle {
  readonly name: string;
  /** Digest of its content. */
  readonly digest: string;
  /** Share of the distance among the cycles of its group, in sum 1 */
  readonly share: number;
  readonly isHeldBack: boolean;
}

/** A tune that nothing is wrong with. */
export interface Tune {
  readonly name: string;
  readonly parts: Readonly<Record<DocumentKind, DocumentPart>>;
  /** Those to tune on, then those held back: in the order of the sources. */
  readonly cycles: readonly TuneCycle[];
  readonly numbers: readonly TunedNumber[];
  readonly objective: TuneFile['objective'];
  readonly constraints: readonly Gate[];
  /** Different sets of numbers that are tried at most, all told: the start and those around the best, too */
  readonly evaluations: number;
  readonly seed: number;
  readonly inputs: readonly PlanInput[];
  /** What a worker makes cases from. */
  readonly sources: StudySources;
  /** Looks at each set of numbers before it is tried; it keeps the threads of plug-ins until it is ended. */
  readonly check: PartCheck;
  /** Every file that was read, none of which an output may replace; its own is the first. */
  readonly files: readonly string[];
  readonly drives: readonly DriveReport[];
  /** Sentences for the user. */
  readonly notices: readonly string[];
}

/** The kinds of file of which numbers are tuned. */
export function tunedKinds({ numbers }: Pick<Tune, 'numbers'>): DocumentKind[] {
  return [...new Set(numbers.map(({ path }) => path.kind))];
}
