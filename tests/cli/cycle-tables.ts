import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { parseCycle } from '../../src/cycle/read.ts';
import type { Trace } from '../../src/cycle/trace.ts';
import { ROOT } from './program.ts';

/** Flags with which the shipped log is read. */
export const COMMUTE = [
  join(ROOT, 'examples/logs/commute.csv'),
  ...['--delimiter', ';', '--decimal', ','],
] as const;
/** The shipped track. */
export const HILL_ROAD = join(ROOT, 'examples/logs/hill-road.gpx');
/** The shipped hilly cycle, in the plain form. */
export const TOWN = join(ROOT, 'examples/cycles/town-hills.csv');

/** A cycle that a command wrote. */
export function cycleIn(text: string): Trace {
  return parseCycle(text, { file: 'written.csv', name: 'written' });
}

/** A cycle file in a folder. */
export function cycleFile(...path: readonly string[]): Trace {
  return cycleIn(readFileSync(join(...path), 'utf8'));
}

/** A table that a command wrote, by its headers. */
export function rowsIn(text: string): Record<string, string>[] {
  return parse(text, { columns: true });
}

/** The rows of a cycle file, without its comments. */
export function withoutComments(text: string): string {
  return text.replace(/^#.*\n/gm, '');
}
