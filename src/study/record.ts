import type { Problem } from '../config/problem.ts';
import type { BoundFigures, BoundFuel } from '../optimum/bound-summary.ts';
import type { Summary } from '../summary/summary.ts';

/** Values of the varied numbers by their paths; null where a case leaves one as its file says. */
export type VariedValues = Readonly<Record<string, number | null>>;

/** A case that ran: its summary, and what was varied. */
export interface DoneRecord extends Summary {
  readonly state: 'done';
  readonly varied: VariedValues;
  /** With the least fuel that any strategy could reach, where the study asks for it */
  readonly fuel: Summary['fuel'] & Partial<BoundFuel>;
  readonly bound?: BoundFigures;
}

/** A case that could not be finished, and why. */
export interface FailedRecord {
  readonly state: 'failed';
  readonly varied: VariedValues;
  readonly tool: string;
  readonly case: Summary['case'];
  readonly error: {
    /** `input`: what the case was given, a plug-in included; `defect`: the program itself. */
    readonly kind: 'input' | 'defect';
    readonly message: string;
    readonly problems: readonly Problem[];
  };
}

/** A line of `results.jsonl`: one finished case. */
export type StudyRecord = DoneRecord | FailedRecord;
