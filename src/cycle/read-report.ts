import type { Quantity } from './column-names.ts';

/** A column that was read. */
export interface UsedColumn {
  readonly quantity: Quantity;
  /** Its header, or the element of a GPX file, as it stands there. */
  readonly header: string;
  /** Its unit in words, or how its times are written. */
  readonly unit: string;
  /** Rows that have no value in it. */
  readonly missing: number;
}

/** What a log was found to be when it was read. */
export interface ReadReport {
  readonly form: 'csv' | 'gpx';
  /** Rows of the drive. */
  readonly rows: number;
  /** Line of the header row; of a GPX file 1. */
  readonly headerLine: number;
  /** Line of the row of units, if there is one. */
  readonly unitsLine?: number;
  readonly columns: readonly UsedColumn[];
  /** Headers of the columns that were not read, in their order; the same may stand twice. */
  readonly ignored: readonly string[];
  /** Comment lines, and lines such as `sep=;`. */
  readonly comments: number;
  /** Lines with nothing in them, or with nothing but delimiters. */
  readonly blanks: number;
  /** First instant as it stands in the file, if the times are no plain numbers. */
  readonly start?: string;
  /** Rows that say 0° north, 0° east, which stands for no position. */
  readonly noFix: number;
  /** Of a GPX file: its tracks and their segments. */
  readonly tracks?: TrackReport;
}

/** Pieces of a GPX file and how they were joined. */
export interface TrackReport {
  readonly tracks: number;
  /** Segments with at least one point. Between two of them the drive has a gap. */
  readonly segments: number;
  /** Whether they stood out of order in time and were sorted. */
  readonly sorted: boolean;
}
