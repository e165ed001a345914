import { PERCENT } from '../config/units.ts';
import type { Figures } from './result-row.ts';

/** A case with its share of the distance in a mean. */
export interface Weighted {
  readonly figures: Figures;
  /** Above 0; shares need not add up to 1. */
  readonly share: number;
}

/** A figure of cases, as gates name it. NaN is no figure. */
export interface Figure {
  /** A column of results, or one in kJ followed by `_per_km`. */
  readonly name: string;
  /** Columns that it is worked out from. */
  readonly columns: readonly string[];
  /** Of one case. */
  readonly of: (figures: Figures) => number;
  /** Of the distance that several cases share; left out where no mean would be honest. */
  readonly mean?: (cases: readonly Weighted[]) => number;
}

const DISTANCE = 'cycle_distance_km';
const STORE_FUEL = 'fuel_store_L_per_100km';
const BASELINE_FUEL = 'fuel_baseline_L_per_100km';
const STOP_START_FUEL = 'fuel_stop_start_L_per_100km';
const BOUND_FUEL = 'fuel_bound_L_per_100km';

/** Figures whose mean is a ratio of two means per distance, and what they are made of. */
const RATIOS: Readonly<Record<string, Pick<Figure, 'columns' | 'mean'>>> = {
  ...Object.fromEntries([
    saving('saving_vs_baseline_pct', STORE_FUEL, BASELINE_FUEL),
    saving('saving_vs_stop_start_pct', STORE_FUEL, STOP_START_FUEL),
    saving('bound_saving_vs_baseline_pct', BOUND_FUEL, BASELINE_FUEL),
    saving('bound_saving_vs_stop_start_pct', BOUND_FUEL, STOP_START_FUEL),
    ofMeans('bound_gap_pct', STORE_FUEL, BOUND_FUEL, (fuel, least) => fuel - least),
  ]),
  shortfall_pct_of_tractive: {
    columns: [DISTANCE, 'shortfall_energy_kJ', 'ledger_wheel_traction_kJ'],
    mean: (cases) => {
      const traction = meanOf(cases, perKm('ledger_wheel_traction_kJ'));
      const missing = meanOf(cases, perKm('shortfall_energy_kJ'));
      // As in a summary: without traction there is nothing that could be missing.
      return traction === 0 ? 0 : missing / traction / PERCENT;
    },
  },
};

/** Endings of columns that are per distance already, so that distances may be averaged. */
const PER_DISTANCE = /_(?:L_per_100km|g_per_km|per_km)$/;
const ENERGY_PER_DISTANCE = /^(.+_kJ)_per_km$/;

/**
 * The figure of a name. Whether results have its columns is another question.
 * @param name a column of results, or one in kJ followed by `_per_km`
 */
export function figureNamed(name: string): Figure {
  const of = (figures: Figures) => figures.of(name);
  const energy = ENERGY_PER_DISTANCE.exec(name)?.[1];
  if (energy !== undefined) {
    const columns = [energy, DISTANCE];
    return { name, columns, of: perKm(energy), mean: (cases) => meanOf(cases, perKm(energy)) };
  }
  const ratio = RATIOS[name];
  if (ratio !== undefined) return { name, ...ratio, columns: [name, ...ratio.columns], of };
  if (PER_DISTANCE.test(name)) {
    return { name, columns: [name], of, mean: (cases) => meanOf(cases, of) };
  }
  return { name, columns: [name], of };
}

/** An energy of a case over its distance [kJ/km]. */
export function perKm(column: string): (figures: Figures) => number {
  return (figures) => figures.of(column) / figures.of(DISTANCE);
}

/** The mean of something per distance, each case with its share of the distance. */
export function meanOf(cases: readonly Weighted[], of: (figures: Figures) => number): number {
  let sum = 0;
  let shares = 0;
  for (const { figures, share } of cases) {
    sum += share * of(figures);
    shares += share;
  }
  return sum / shares;
}

/** A saving of several cases. */
function saving(name: string, fuel: string, reference: string) {
  return ofMeans(name, fuel, reference, (burned, without) => without - burned);
}

/**
 * A difference of two fuels in % of the second one, for several cases: of their mean fuels, since a
 * mean of percentages means nothing. A case whose own percentage a result withholds, though its fuel
 * would give one, leaves the mean without a figure.
 */
function ofMeans(
  name: string,
  fuel: string,
  reference: string,
  difference: (fuel: number, reference: number) => number,
): readonly [string, Pick<Figure, 'columns' | 'mean'>] {
  const mean = (cases: readonly Weighted[]) => {
    const withheld = cases.some(
      ({ figures }) => Number.isNaN(figures.of(name)) && figures.of(reference) > 0,
    );
    const base = meanOf(cases, (figures) => figures.of(reference));
    if (withheld || !(base > 0)) return Number.NaN;
    const burned = meanOf(cases, (figures) => figures.of(fuel));
    return difference(burned, base) / base / PERCENT;
  };
  return [name, { columns: [fuel, reference], mean }];
}
