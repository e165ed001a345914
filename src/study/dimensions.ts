import { CASE_PARTS } from '../config/gates-file.ts';
import type { ResultRow } from './result-row.ts';
import type { Result } from './results.ts';

/** What a case has in one dimension: a name, a varied number, null (as its file says), or nothing. */
export type DimensionValue = string | number | null | undefined;

/** Something in which the cases of a result differ: one of the four parts, or a varied number. */
export interface Dimension {
  /** `car`, `store`, `strategy`, `cycle`, or the path of a varied number */
  readonly name: string;
  readonly of: (row: ResultRow) => DimensionValue;
}

/** A dimension with one value before and another one after: what was changed on purpose. */
export interface ChangedDimension {
  readonly name: string;
  readonly before: DimensionValue;
  readonly after: DimensionValue;
}

/**
 * The dimensions of a result: the four parts, then its varied numbers.
 * @param result whose cases they are read of
 * @param varied paths in the order wanted; those that the result has not are undefined everywhere
 */
export function dimensionsOf(result: Result, varied: readonly string[]): Dimension[] {
  return [
    ...CASE_PARTS.map((name) => ({ name, of: ({ names }: ResultRow) => names[name] })),
    ...varied.map((name) => {
      const place = result.varied.indexOf(name);
      return { name, of: ({ varied: values }: ResultRow) => values[place] };
    }),
  ];
}

/** Every path that one of two results varies, in their order. */
export function variedIn(before: Result, after: Result): string[] {
  return [...new Set([...after.varied, ...before.varied])];
}
