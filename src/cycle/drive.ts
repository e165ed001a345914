/**
 * A drive as it was logged, in SI, before any cleaning. Columns of equal length; a value that the
 * log does not have in a row is NaN. Nothing here is checked: `clean.ts` does that and says what it
 * changed, `samples.ts` refuses what is left.
 */
export interface Drive {
  /** Short name for people and results. */
  readonly name: string;
  /** Instants [s]; of a log with dates or times by the clock, seconds since its first row. */
  readonly time: Float64Array;
  /** Speed along the road [m/s]. */
  readonly speed: Float64Array;
  /** Where the speed comes from: a column of its own, or distances between positions. */
  readonly speedFrom: 'column' | 'positions';
  /** Altitude [m], if the log has it. */
  readonly altitude?: Float64Array;
  /** Grade as tan θ, if the log has it. */
  readonly grade?: Float64Array;
  /** Line of the file on which each row stands, from 1. */
  readonly line: Uint32Array;
}
