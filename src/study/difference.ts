import { type Figure, figureNamed, type Weighted } from './figures.ts';
import { LEDGER_COLUMNS } from './ledger-change.ts';
import type { Pair } from './match.ts';

/** The fuel with the store, by which a case is better or worse. */
export const FUEL = 'fuel_store_L_per_100km';

/** The figures of which every comparison tells the difference. */
export const COMPARED_FIGURES: readonly Figure[] = [
  FUEL,
  'saving_vs_baseline_pct',
  'saving_vs_stop_start_pct',
  'counts_engine_starts_per_km',
  'shortfall_pct_of_tractive',
].map(figureNamed);

/** Columns that a comparison needs of every case. */
export const COMPARED_COLUMNS: readonly string[] = [
  ...new Set([...COMPARED_FIGURES.flatMap(({ columns }) => columns), ...LEDGER_COLUMNS]),
];

/** A figure before and after; NaN where it has no value. */
export interface FigureChange {
  readonly name: string;
  readonly before: number;
  readonly after: number;
  /** After less before; percentage points for a figure in %. */
  readonly change: number;
}

/** How the figures of a case have changed. */
export function pairChanges({ before, after }: Pair): FigureChange[] {
  return COMPARED_FIGURES.map(({ name, of }) =>
    changeOf(name, of(before.figures), of(after.figures)),
  );
}

/**
 * How the means of figures have changed.
 * @param before cases with their shares of the distance
 * @param after the same cases in the same order
 */
export function meanChanges(
  before: readonly Weighted[],
  after: readonly Weighted[],
): FigureChange[] {
  return COMPARED_FIGURES.map(({ name, mean = () => Number.NaN }) =>
    changeOf(name, mean(before), mean(after)),
  );
}

/** Change of the fuel with the store, of that before; 0 where both are 0, NaN where a side has no figure. */
export function fuelChange({ before, after }: Pair): number {
  const old = before.figures.of(FUEL);
  const now = after.figures.of(FUEL);
  return old === now ? 0 : (now - old) / old;
}

function changeOf(name: string, before: number, after: number): FigureChange {
  return { name, before, after, change: after - before };
}
