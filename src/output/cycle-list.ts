import { KILOMETRE, KMH } from '../config/units.ts';
import type { BuiltInCycle } from '../cycle/library.ts';
import { distance, duration, maxSpeed, meanSpeed, type Trace } from '../cycle/trace.ts';
import { fixed } from '../summary/numbers.ts';
import { tool } from '../summary/tool.ts';
import type { CsvDialect } from './csv-dialect.ts';
import { CYCLE_SCHEMA_VERSION } from './cycle-sheet.ts';
import type { Paint } from './paint.ts';
import { recordsCsv } from './records-csv.ts';
import { wrap } from './wrap.ts';

/** The built-in cycles, the document that `cycle list --format json` prints. */
export interface CycleList {
  readonly schema_version: typeof CYCLE_SCHEMA_VERSION;
  readonly tool: string;
  readonly cycles: readonly CycleListEntry[];
}

/** A built-in cycle. Every key of a quantity ends in its unit. */
export interface CycleListEntry {
  /** What `--cycle` takes. */
  readonly name: string;
  readonly description: string;
  /** The standard that defines it. */
  readonly standard: string;
  readonly duration_s: number;
  readonly distance_km: number;
  /** Standstill included. */
  readonly mean_speed_kmh: number;
  readonly max_speed_kmh: number;
}

/** A built-in cycle with its trace. */
export interface ListedCycle extends BuiltInCycle {
  readonly trace: Trace;
}

/** The list of built-in cycles, in their order. */
export function cycleList(cycles: readonly ListedCycle[]): CycleList {
  return {
    schema_version: CYCLE_SCHEMA_VERSION,
    tool: tool(),
    cycles: cycles.map(({ name, description, standard, trace }) => ({
      name,
      description,
      standard,
      duration_s: duration(trace),
      distance_km: distance(trace) / KILOMETRE,
      mean_speed_kmh: meanSpeed(trace) / KMH,
      max_speed_kmh: maxSpeed(trace) / KMH,
    })),
  };
}

/** Columns of a terminal that the figures of a cycle take, and those left for its standard. */
const FIGURES = 40;
const STANDARD = 40;

/** The list for a terminal of 80 columns. */
export function cycleListTable({ cycles }: CycleList, paint: Paint): string {
  const line = (name: string, ...cells: readonly string[]): string =>
    `${name.padEnd(12)}${cells.map((cell) => cell.padStart(7)).join('')}`;
  const rows = cycles.flatMap((cycle) => {
    const figures = line(
      cycle.name,
      fixed(cycle.duration_s, 0),
      fixed(cycle.distance_km, 2),
      fixed(cycle.mean_speed_kmh, 1),
      fixed(cycle.max_speed_kmh, 1),
    );
    return wrap(cycle.standard, STANDARD - 2).map(
      (words, index) => `${(index === 0 ? figures : '').padEnd(FIGURES)}  ${words}`,
    );
  });
  return [
    paint.title(`${line('cycle', 's', 'km', 'mean', 'top')}  standard`),
    ...rows,
    paint.faint('Mean (standstill included) and top speed in km/h.'),
  ]
    .map((text) => `${text}\n`)
    .join('');
}

/** The list as CSV, a row a cycle. */
export function cycleListCsv({ cycles }: CycleList, dialect?: CsvDialect): string {
  return recordsCsv(
    cycles.map((cycle) => ({ ...cycle })),
    dialect,
  );
}
