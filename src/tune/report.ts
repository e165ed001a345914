import type { TuneFile } from '../config/tune-file.ts';
import type { DocumentKind } from '../study/number-path.ts';
import type { PlanInput } from '../study/plan.ts';
import type { Standing } from './conditions.ts';
import type { SHOWN } from './rows.ts';

/** Version of the keys below: a key that changes its meaning or goes raises it, a new one does not. */
export const TUNE_SCHEMA_VERSION = 1;

/** A figure with the numbers of the files and with the tuned ones. */
export interface BeforeAfter<T> {
  readonly before: T;
  readonly after: T;
}

/** The figure that numbers are tuned for. */
export interface Gain extends BeforeAfter<number> {
  /** By how much it is better after, in its own unit */
  readonly gain: number;
}

/** What a tune came to, the document that `--format json` prints; the same whatever ran it. */
export interface TuneReport {
  readonly schema_version: typeof TUNE_SCHEMA_VERSION;
  readonly tool: string;
  readonly model_version: string;
  readonly tune: string;
  readonly inputs: readonly PlanInput[];
  /** On the cycles that the numbers are tuned on */
  readonly objective: TuneFile['objective'] & Gain;
  /** The same figure on the cycles that are held back; null without any */
  readonly held_back: Gain | null;
  /** Whether the tuned numbers hold all constraints on the cycles that they are tuned on */
  readonly feasible: boolean;
  readonly numbers: readonly NumberReport[];
  readonly cycles: readonly CycleReport[];
  readonly means: {
    readonly tuned: BeforeAfter<ShownFigures>;
    readonly held_back: BeforeAfter<ShownFigures> | null;
  };
  readonly constraints: readonly ConstraintReport[];
  readonly search: SearchReport;
}

/** A number before and after, and how much hangs on it. */
export interface NumberReport extends BeforeAfter<number> {
  readonly path: string;
  readonly kind: DocumentKind;
  readonly from: number;
  readonly to: number;
  readonly scale: 'linear' | 'logarithmic';
  /** The bound that it came to stand at */
  readonly at_bound: 'from' | 'to' | null;
  /** Lowest and highest value among the best tenth of the sets of numbers that hold all constraints */
  readonly best_tenth: readonly [number, number] | null;
  /** What it costs to move this number alone by a tenth of its range; none beyond its bounds or the budget */
  readonly moved: readonly MoveReport[];
}

/** One number moved, the others as tuned. */
export interface MoveReport {
  readonly direction: 'down' | 'up';
  readonly value: number;
  /** By how much the figure that numbers are tuned for gets worse; null where there is none */
  readonly loss: number | null;
  /** What the set of numbers then is */
  readonly state: 'held' | 'broken' | 'refused' | 'failed';
}

/** What is shown of every cycle; null where a figure has no value. */
export type ShownFigures = Readonly<Record<(typeof SHOWN)[number], number | null>>;

/** A cycle before and after. */
export interface CycleReport extends BeforeAfter<ShownFigures> {
  readonly cycle: string;
  readonly held_back: boolean;
  /** Share of the distance among the cycles of its group, in sum 1 */
  readonly share: number;
}

/** A constraint before and after. */
export interface ConstraintReport extends BeforeAfter<Standing> {
  readonly name: string;
  readonly figure: string;
  readonly of: 'after' | 'change' | 'change_pct';
  readonly over: 'each' | 'mean';
  readonly limits: Readonly<Partial<Record<'at_least' | 'above' | 'at_most' | 'below', number>>>;
  /** After, on the cycles that are held back; null where it is about some of the others alone */
  readonly held_back: Standing | null;
}

/** How the numbers were found. */
export interface SearchReport {
  readonly seed: number;
  /** Different sets of numbers that might be tried */
  readonly budget: number;
  /** Sets of numbers that the search tried, one that came again among them */
  readonly evaluations: number;
  /** Sets of numbers around the best that were looked at besides, one that was known among them */
  readonly around: number;
  /** Different sets of numbers, and what became of them */
  readonly different: number;
  readonly held: number;
  readonly broken: number;
  readonly refused: number;
  readonly failed: number;
  /** Why the first of those was refused or failed; null where none was */
  readonly reason: string | null;
}
