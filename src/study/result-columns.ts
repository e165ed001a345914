import { flatWaterfall } from '../summary/flat.ts';
import { FLAT_COLUMNS } from '../summary/flat-columns.ts';
import type { Summary } from '../summary/summary.ts';
import { BOUND_COLUMNS } from './bound-columns.ts';
import type { DoneRecord } from './record.ts';

/** Reads a cell of a record from whatever a file holds; undefined where there is none. */
type CellReader = (summary: SummaryOrBounded) => unknown;

/** A summary that may have a bound. */
type SummaryOrBounded = Summary & Pick<DoneRecord, 'fuel' | 'bound'>;

const READERS: ReadonlyMap<string, CellReader> = new Map<string, CellReader>([
  ...FLAT_COLUMNS.map(({ name, of }) => [name, tolerant(of)] as const),
  ...BOUND_COLUMNS.map(
    ({ name, of }) =>
      [name, tolerant((record) => (record.bound === undefined ? undefined : of(record)))] as const,
  ),
  ...Object.keys(flatWaterfall(undefined)).map(
    (name) =>
      [name, tolerant(({ waterfall }) => waterfall && flatWaterfall(waterfall)[name])] as const,
  ),
]);

/** Reads a column of a record; undefined where the record, or the program, has no such column. */
export function cellReader(column: string): CellReader {
  return READERS.get(column) ?? (() => undefined);
}

/** The columns of a record that hold a number, or would if it had a value. */
export function figureColumns(summary: Summary): string[] {
  return [...READERS].flatMap(([name, read]) => {
    const value = read(summary);
    return value === null || typeof value === 'number' ? [name] : [];
  });
}

/** A file may lack a whole group of keys, in which there is nothing to be found. */
function tolerant(of: CellReader): CellReader {
  return (summary) => {
    try {
      return of(summary);
    } catch {
      return undefined;
    }
  };
}
