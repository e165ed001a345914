import {
  CHANGE_KINDS,
  type ChangeKind,
  type CleaningReport,
} from '../../src/cycle/clean-report.ts';

/** A listed change in words: kind, line, before, after. */
export type ChangeRow = readonly [ChangeKind, number, number, number];

/** The listed changes of a report, one by one. */
export function changeRows({ changes }: CleaningReport): ChangeRow[] {
  return [...changes.kind].map((kind, i) => [
    CHANGE_KINDS[kind]!,
    changes.line[i]!,
    changes.before[i]!,
    changes.after[i]!,
  ]);
}

/** The kinds that a report counts at all, with their counts. */
export function countsOf({ counts }: CleaningReport): Partial<Record<ChangeKind, number>> {
  return Object.fromEntries(Object.entries(counts).filter(([, count]) => count > 0));
}
