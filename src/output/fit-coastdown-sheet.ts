import { pasted, pasteProblems } from '../config/paste-block.ts';
import { KILO, KMH, kelvinToCelsius, PERCENT } from '../config/units.ts';
import { type Coastdown, forceAt, type RollingMass } from '../fit/coastdown.ts';
import type { Corrected, ReferenceName, Weather } from '../fit/coastdown-reference.ts';
import type { PairedRuns } from '../fit/coastdown-runs.ts';
import { CONFIDENCE } from '../fit/intervals.ts';
import { GRAVITY } from '../physics/air.ts';
import { fixed, rounded } from '../summary/numbers.ts';
import { tool } from '../summary/tool.ts';
import { type EstimateSheet, estimateSheet, FIT_SCHEMA_VERSION } from './fit-figures.ts';

/** A coastdown as it was read and fitted. */
export interface FittedCoastdown {
  readonly files: readonly string[];
  readonly mass: RollingMass;
  readonly runs: PairedRuns;
  readonly fit: Coastdown;
  /** Correction to a reference state; undefined where the weather was not given */
  readonly reference:
    | (Corrected & { readonly name: ReferenceName; readonly weather: Weather })
    | undefined;
}

/** The three coefficients. */
export interface ForceSheet {
  readonly f0_N: EstimateSheet;
  readonly f1_N_per_kmh: EstimateSheet;
  readonly f2_N_per_kmh2: EstimateSheet;
}

/** The document that `fit coastdown --format json` prints. */
export interface CoastdownSheet {
  readonly schema_version: typeof FIT_SCHEMA_VERSION;
  readonly tool: string;
  readonly fit: 'coastdown';
  readonly files: readonly string[];
  readonly mass_kg: number;
  readonly rotating_mass_kg: number;
  readonly measured: ForceSheet;
  /** Force as measured, at some speeds */
  readonly force_at: readonly { readonly speed_kmh: number; readonly force_N: EstimateSheet }[];
  readonly correlation: { readonly f0_f1: number; readonly f0_f2: number; readonly f1_f2: number };
  readonly interval: {
    readonly confidence_pct: number;
    readonly basis: Coastdown['basis'];
    readonly degrees_of_freedom: number;
    readonly pair_scatter_ratio: number | null;
  };
  readonly reference: {
    readonly name: ReferenceName;
    readonly test_temperature_C: number;
    readonly test_pressure_kPa: number;
    readonly rolling_factor: number;
    readonly air_factor: number;
    readonly corrected: ForceSheet;
  } | null;
  readonly pairs: readonly PairSheet[];
  readonly runs_without_partner: readonly string[];
  readonly samples_without_value: number;
  readonly samples_outside_range: number;
  readonly road_load: {
    readonly form: 'coastdown';
    readonly f0_N: number;
    readonly f1_N_per_kmh: number;
    readonly f2_N_per_kmh2: number;
  };
  readonly warnings: readonly string[];
}

/** What one pair says by itself. */
export interface PairSheet extends ForceSheet {
  readonly there: string;
  readonly back: string;
  readonly samples: number;
  readonly wind_kmh: EstimateSheet;
  readonly slope_pct: EstimateSheet;
  readonly residual_kmh: number;
  readonly lag_correlation: number;
}

/** Speeds at which the force is told [km/h]. */
const SPEEDS = [20, 50, 80, 110] as const;

/** The figures of a coastdown as data. */
export function coastdownSheet(fitted: FittedCoastdown): CoastdownSheet {
  const { fit, mass, runs, reference } = fitted;
  const [f0, f1, f2] = forceSheet(reference?.force ?? fit.force);
  const block = {
    form: 'coastdown',
    f0_N: pasted(f0.value),
    f1_N_per_kmh: pasted(f1.value),
    f2_N_per_kmh2: pasted(f2.value),
  } as const;
  return {
    schema_version: FIT_SCHEMA_VERSION,
    tool: tool(),
    fit: 'coastdown',
    files: fitted.files,
    mass_kg: mass.mass,
    rotating_mass_kg: mass.rotatingMass,
    measured: keyed(fit.force),
    force_at: SPEEDS.map((speed) => ({
      speed_kmh: speed,
      force_N: estimateSheet(forceAt(fit, speed * KMH), 1),
    })),
    correlation: {
      f0_f1: fit.correlation[0]![1]!,
      f0_f2: fit.correlation[0]![2]!,
      f1_f2: fit.correlation[1]![2]!,
    },
    interval: {
      confidence_pct: CONFIDENCE / PERCENT,
      basis: fit.basis,
      degrees_of_freedom: fit.degrees,
      pair_scatter_ratio: fit.scatter ?? null,
    },
    reference:
      reference === undefined
        ? null
        : {
            name: reference.name,
            test_temperature_C: kelvinToCelsius(reference.weather.temperature),
            test_pressure_kPa: reference.weather.pressure / KILO,
            rolling_factor: reference.rollingFactor,
            air_factor: reference.airFactor,
            corrected: keyed(reference.force),
          },
    pairs: fit.pairs.map((pair, k) => ({
      there: runs.pairs[k]!.there.name,
      back: runs.pairs[k]!.back.name,
      samples: pair.there.length + pair.back.length,
      ...keyed(pair.force),
      wind_kmh: estimateSheet(pair.wind, KMH),
      slope_pct: estimateSheet(pair.slope, PERCENT),
      residual_kmh: pair.deviation / KMH,
      lag_correlation: pair.lagCorrelation,
    })),
    runs_without_partner: runs.alone.map(({ name }) => name),
    samples_without_value: runs.withoutValue,
    samples_outside_range: runs.outside,
    road_load: block,
    warnings: warningsOf(fitted, block),
  };
}

function forceSheet(force: Coastdown['force']): [EstimateSheet, EstimateSheet, EstimateSheet] {
  return [
    estimateSheet(force[0], 1),
    estimateSheet(force[1], 1 / KMH),
    estimateSheet(force[2], 1 / (KMH * KMH)),
  ];
}

function keyed(force: Coastdown['force']): ForceSheet {
  const [f0_N, f1_N_per_kmh, f2_N_per_kmh2] = forceSheet(force);
  return { f0_N, f1_N_per_kmh, f2_N_per_kmh2 };
}

/** Rolling coefficients that tyres on a road have; outside of them a unit of time or speed is wrong. */
const ROLLING = { least: 0.004, most: 0.03 };
/** Fewer pairs leave the scatter among them to chance. */
const ENOUGH_PAIRS = 3;
/** The pairs differ by more than what was measured in them explains. */
const MUCH_SCATTER = 2;
/** Mean wind above which the test procedures forbid a coastdown [m/s] (from memory, not verified). */
const MOST_WIND = 5;
/** Temperatures in which the procedures permit one [°C] (from memory, not verified). */
const TEMPERATURES = { least: 5, most: 35 };
/** Residuals that hang together by more than this are no noise of the sensor. */
const MUCH_LAG = 0.3;

function warningsOf({ fit, mass, runs, reference }: FittedCoastdown, block: object): string[] {
  const [f0] = fit.force;
  const coefficient = f0.value / (mass.mass * GRAVITY);
  const windy = fit.pairs.filter(({ wind }) => Math.abs(wind.value) > MOST_WIND).length;
  const lag = Math.max(...fit.pairs.map(({ lagCorrelation }) => lagCorrelation));
  const temperature = reference && kelvinToCelsius(reference.weather.temperature);
  return [
    ...pasteProblems('road_load', block),
    ...(coefficient < ROLLING.least || coefficient > ROLLING.most
      ? [
          `F0 makes a rolling coefficient of ${rounded(coefficient)}; tyres on a road have ${ROLLING.least} to ${ROLLING.most}: are the units of time and speed right?`,
        ]
      : []),
    ...(runs.pairs.length === 1
      ? [
          'There is one pair of runs: the intervals know only of noise within it, and nothing of what differs from pair to pair.',
        ]
      : runs.pairs.length < ENOUGH_PAIRS
        ? [`There are ${runs.pairs.length} pairs of runs: three at least make a steadier interval.`]
        : []),
    ...(fit.scatter !== undefined && fit.scatter > MUCH_SCATTER
      ? [
          `The pairs scatter ${rounded(fit.scatter)} times as much as their residuals explain: gusts, traffic, tyre temperature or the line differ from pair to pair. The intervals have it in them.`,
        ]
      : []),
    ...(lag > MUCH_LAG
      ? [
          `The residuals hang together (correlation ${fixed(lag, 2)} from sample to sample): gusts or a changing slope, which the form F0 + F1 v + F2 v² does not have.`,
        ]
      : []),
    ...(windy > 0
      ? [`In ${windy} of the pairs the wind along the road is above ${MOST_WIND} m/s.`]
      : []),
    ...(temperature !== undefined &&
    (temperature < TEMPERATURES.least || temperature > TEMPERATURES.most)
      ? [
          `At ${rounded(temperature)} °C the correction of the rolling resistance reaches beyond ${TEMPERATURES.least} to ${TEMPERATURES.most} °C.`,
        ]
      : []),
    ...(runs.alone.length > 0
      ? [
          `Not used, since there is no run in the other direction for them: ${runs.alone.map(({ name }) => name).join(', ')}.`,
        ]
      : []),
  ];
}
