import type { Estimate } from '../fit/intervals.ts';
import { fixed } from '../summary/numbers.ts';

/** Version of the documents that `fit --format json` prints; it rises when a key goes or changes. */
export const FIT_SCHEMA_VERSION = 1;

/** An estimate in a document: `value` and half the width of its 95 % interval, in the key's unit. */
export interface EstimateSheet {
  readonly value: number;
  readonly ci95: number;
}

/**
 * An estimate in the unit of a document.
 * @param estimate in SI
 * @param unit SI for each unit of the document
 */
export function estimateSheet({ value, halfWidth }: Estimate, unit: number): EstimateSheet {
  return { value: value / unit, ci95: halfWidth / unit };
}

/** The two figures of a row for people. */
export function estimateFigures(
  { value, ci95 }: EstimateSheet,
  decimals: number,
): [string, string] {
  return [fixed(value, decimals), fixed(ci95, decimals)];
}

/** A figure to so many significant digits, for quantities of any size. */
export function significant(value: number, digits = 4): string {
  return String(Number(value.toPrecision(digits)));
}
