import type { Summary } from './summary.ts';

/**
 * The largest shortfall of the three runs of a case, in % of the tractive energy. A saving against a
 * car that does not follow the trace is no saving, so all three are held to the tolerance.
 */
export function largestShortfall({
  shortfall,
  references,
}: Pick<Summary, 'shortfall' | 'references'>): number {
  return Math.max(
    shortfall.pct_of_tractive,
    references.baseline.shortfall.pct_of_tractive,
    references.stop_start.shortfall.pct_of_tractive,
  );
}
