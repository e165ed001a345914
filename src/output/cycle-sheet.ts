import { KILO, KILOMETRE, KMH, PERCENT } from '../config/units.ts';
import { type CycleStatistics, cycleStatistics } from '../cycle/statistics.ts';
import type { Trace } from '../cycle/trace.ts';
import type { BinDynamics, SpeedBinName } from '../cycle/trip-dynamics.ts';
import type { Car } from '../simulate/car.ts';
import { idealStoreShare, traceEnergy } from '../simulate/trace-energy.ts';
import { tool } from '../summary/tool.ts';
import { heightsOf } from './cycle-heights.ts';

/** Version of the keys below: a key that changes its meaning or goes raises it, a new one does not. */
export const CYCLE_SCHEMA_VERSION = 1;

/**
 * The figures of one drive cycle, the document that `cycle show --format json` prints. Every key
 * ends in its unit. What there is nothing to take it from, such as the mean speed of a bin without
 * samples, is null.
 */
export interface CycleSheet {
  readonly schema_version: typeof CYCLE_SCHEMA_VERSION;
  readonly tool: string;
  readonly cycle: {
    readonly name: string;
    readonly duration_s: number;
    readonly distance_km: number;
    /** Standstill included. */
    readonly mean_speed_kmh: number;
    /** Of the time in which the car moves. */
    readonly mean_driving_speed_kmh: number;
    readonly max_speed_kmh: number;
    readonly max_acceleration_m_per_s2: number;
    readonly max_deceleration_m_per_s2: number;
  };
  readonly stops: {
    /** How often the car comes to rest. */
    readonly count: number;
    /** Share of the time in intervals at whose both ends the car is at rest. */
    readonly at_rest_pct: number;
    /** Share of the seconds that end at less than 1 km/h. */
    readonly below_1_kmh_pct: number | null;
  };
  /** Positive acceleration times speed over distance. */
  readonly relative_positive_acceleration: {
    /** Exact integral of the speed, linear between samples. */
    readonly exact_m_per_s2: number;
    /** At 1 Hz by central differences, all accelerations above 0. */
    readonly central_differences_m_per_s2: number | null;
    /** The same of accelerations above 0.1 m/s², as the EU real-driving rules have it. */
    readonly central_differences_above_threshold_m_per_s2: number | null;
  };
  /** Trip dynamics of the EU real-driving rules at 1 Hz, by speed; their limits are from memory. */
  readonly real_driving: {
    /** 95th percentile of speed times acceleration above 0.1 m/s², of the whole drive. */
    readonly speed_acceleration_95_m2_per_s3: number | null;
  } & Readonly<Record<SpeedBinName, BinSheet>>;
  readonly kinetic: {
    /** ½ v² gained per kg and km, which is kJ per tonne and km. */
    readonly gained_J_per_kg_km: number;
    readonly shed_J_per_kg_km: number;
    /** ½ v² + g h gained over distance. */
    readonly characteristic_acceleration_m_per_s2: number;
    /** Root of the mean of v³ over the mean of v. */
    readonly aerodynamic_speed_kmh: number;
    /** Characteristic acceleration over aerodynamic speed squared. */
    readonly intensity_per_km: number;
  };
  readonly climbing: {
    readonly up_m_per_km: number;
    readonly up_m_per_100km: number;
    readonly down_m_per_km: number;
    /** End less beginning. */
    readonly altitude_change_m: number;
    /** Highest less lowest point. */
    readonly altitude_range_m: number;
  };
  /** Wheel energy on the flat of a car of 1500 kg that is the same for all cycles. */
  readonly reference_car: {
    readonly traction_kJ_per_km: number;
    readonly braking_kJ_per_km: number;
  };
  /** Wheel energy of the car that was asked about, hills included. */
  readonly car: CarSheet | null;
  /** What stores without losses and mass would make of that car's braking, by size. */
  readonly ideal_stores: readonly IdealStoreSheet[];
}

/** A speed bin of the real-driving rules. */
export interface BinSheet {
  readonly samples: number;
  /** Samples with more than 0.1 m/s². */
  readonly accelerating_samples: number;
  readonly distance_km: number;
  readonly mean_speed_kmh: number | null;
  readonly speed_acceleration_95_m2_per_s3: number | null;
  /** Above it a trip is too dynamic. */
  readonly speed_acceleration_limit_m2_per_s3: number | null;
  /** Relative positive acceleration of the bin. */
  readonly positive_acceleration_m_per_s2: number | null;
  /** Below it a trip is too soft. */
  readonly positive_acceleration_limit_m_per_s2: number | null;
  readonly verdict: 'within' | 'too-dynamic' | 'too-soft' | 'too-few-samples';
}

/** Work at the wheels of a car, before engine, store and brakes. */
export interface CarSheet {
  readonly name: string;
  readonly mass_kg: number;
  /** Of the intervals in which the wheels are driven. */
  readonly traction_kJ: number;
  /** Of the intervals in which they are braked. */
  readonly braking_kJ: number;
  readonly traction_kJ_per_km: number;
  readonly braking_kJ_per_km: number;
  readonly braking_share_of_traction_pct: number | null;
}

/** A store without losses, whatever the speed: only its energy and its power limit it. */
export interface IdealStoreSheet {
  readonly energy_kJ: number;
  readonly power_kW: number;
  readonly taken_kJ: number;
  readonly taken_share_of_braking_pct: number | null;
  readonly refused_full_kJ: number;
  readonly refused_power_kJ: number;
  readonly given_back_kJ: number;
  readonly left_kJ: number;
}

/** Size of a store. */
export interface StoreSize {
  /** [J] */
  readonly energy: number;
  /** At the wheel [W] */
  readonly power: number;
}

/** The sizes that are looked at where none is named: energies … [J] */
const ENERGIES = [100, 200, 400, 800].map((energy) => energy * KILO);
/** … and powers [W]. */
const POWERS = [30, 60, 120].map((power) => power * KILO);

/** Sizes from a small store to a large one. */
export const STORE_SIZES: readonly StoreSize[] = ENERGIES.flatMap((energy) =>
  POWERS.map((power) => ({ energy, power })),
);

/**
 * The figures of a drive cycle.
 *
 * @param trace the drive
 * @param car whose energy at the wheels is worked out too, if given
 * @param sizes of the ideal stores that are tried on that car
 */
export function cycleSheet(
  trace: Trace,
  car?: Car,
  sizes: readonly StoreSize[] = STORE_SIZES,
): CycleSheet {
  const statistics = cycleStatistics(trace);
  const { stops, relativePositiveAcceleration: positive, referenceEnergy } = statistics;
  const km = statistics.distance / KILOMETRE;
  return {
    schema_version: CYCLE_SCHEMA_VERSION,
    tool: tool(),
    cycle: {
      name: trace.name,
      duration_s: statistics.duration,
      distance_km: km,
      mean_speed_kmh: statistics.meanSpeed / KMH,
      mean_driving_speed_kmh: statistics.meanDrivingSpeed / KMH,
      max_speed_kmh: statistics.maxSpeed / KMH,
      max_acceleration_m_per_s2: statistics.maxAcceleration,
      max_deceleration_m_per_s2: statistics.maxDeceleration,
    },
    stops: {
      count: stops.count,
      at_rest_pct: stops.restShare / PERCENT,
      below_1_kmh_pct: known(stops.belowOneKmhShare / PERCENT),
    },
    relative_positive_acceleration: {
      exact_m_per_s2: positive.exact,
      central_differences_m_per_s2: known(positive.centralDifferences),
      central_differences_above_threshold_m_per_s2: known(positive.centralAboveThreshold),
    },
    real_driving: realDriving(statistics),
    kinetic: kinetic(statistics),
    climbing: climbing(trace, statistics),
    reference_car: {
      traction_kJ_per_km: referenceEnergy.traction / KILO / km,
      braking_kJ_per_km: referenceEnergy.braking / KILO / km,
    },
    car: car === undefined ? null : carSheet(trace, car, km),
    ideal_stores: car === undefined ? [] : sizes.map((size) => idealStore(trace, car, size)),
  };
}

/** A figure, or null where there was nothing to take it from. */
function known(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}

function realDriving({ dynamics }: CycleStatistics): CycleSheet['real_driving'] {
  const [urban, rural, motorway] = dynamics.bins.map(binSheet);
  return {
    speed_acceleration_95_m2_per_s3: known(dynamics.whole.speedAcceleration95),
    urban: urban!,
    rural: rural!,
    motorway: motorway!,
  };
}

function binSheet(bin: BinDynamics): BinSheet {
  return {
    samples: bin.samples,
    accelerating_samples: bin.accelerating,
    distance_km: bin.distance / KILOMETRE,
    mean_speed_kmh: known(bin.meanSpeed / KMH),
    speed_acceleration_95_m2_per_s3: known(bin.speedAcceleration95),
    speed_acceleration_limit_m2_per_s3: known(bin.dynamicLimit),
    positive_acceleration_m_per_s2: known(bin.positiveAcceleration),
    // The limits hang on the mean speed, which a bin without samples does not have.
    positive_acceleration_limit_m_per_s2: bin.samples > 0 ? bin.softLimit : null,
    verdict: bin.verdict ?? 'too-few-samples',
  };
}

function kinetic({ kinetic: figures }: CycleStatistics): CycleSheet['kinetic'] {
  return {
    gained_J_per_kg_km: figures.gained * KILOMETRE,
    shed_J_per_kg_km: figures.shed * KILOMETRE,
    characteristic_acceleration_m_per_s2: figures.characteristicAcceleration,
    aerodynamic_speed_kmh: Math.sqrt(figures.aerodynamicSpeedSquared) / KMH,
    intensity_per_km: figures.intensity * KILOMETRE,
  };
}

function climbing(trace: Trace, { climbing: { up, down } }: CycleStatistics) {
  const heights = heightsOf(trace);
  let lowest = 0;
  let highest = 0;
  for (const height of heights) {
    if (height < lowest) lowest = height;
    if (height > highest) highest = height;
  }
  return {
    up_m_per_km: up * KILOMETRE,
    up_m_per_100km: up * 100 * KILOMETRE,
    down_m_per_km: down * KILOMETRE,
    altitude_change_m: heights[heights.length - 1]!,
    altitude_range_m: highest - lowest,
  };
}

function carSheet(trace: Trace, car: Car, km: number): CarSheet {
  const { traction, braking } = traceEnergy(trace, car);
  return {
    name: car.name,
    mass_kg: car.mass,
    traction_kJ: traction / KILO,
    braking_kJ: braking / KILO,
    traction_kJ_per_km: traction / KILO / km,
    braking_kJ_per_km: braking / KILO / km,
    braking_share_of_traction_pct: known(braking / traction / PERCENT),
  };
}

function idealStore(trace: Trace, car: Car, { energy, power }: StoreSize): IdealStoreSheet {
  const store = idealStoreShare(trace, car, energy, power);
  return {
    energy_kJ: energy / KILO,
    power_kW: power / KILO,
    taken_kJ: store.taken / KILO,
    taken_share_of_braking_pct: store.braking > 0 ? store.share / PERCENT : null,
    refused_full_kJ: store.full / KILO,
    refused_power_kJ: store.overPower / KILO,
    given_back_kJ: store.given / KILO,
    left_kJ: store.left / KILO,
  };
}
