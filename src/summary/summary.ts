import {
  GRAM,
  GRAM_PER_KM,
  KILO,
  KILOMETRE,
  KMH,
  LITRE,
  LITRE_PER_100KM,
  PERCENT,
} from '../config/units.ts';
import { speedChange } from '../cycle/closed.ts';
import {
  altitudeChange,
  distance,
  duration,
  maxSpeed,
  meanSpeed,
  type Trace,
} from '../cycle/trace.ts';
import { carbonDioxide, type Fuel, litres } from '../physics/fuel.ts';
import { LIMITS, type LimitName } from '../physics/limit.ts';
import type { Balance, BalancedRun } from '../simulate/balance.ts';
import type { CaseResult } from '../simulate/case.ts';
import type { Ledger } from '../simulate/ledger.ts';
import type { Run } from '../simulate/run.ts';
import { debtFuel } from '../simulate/total-fuel.ts';
import { LEDGER_LINES, type NodeLines, type NodeName } from './ledger-lines.ts';
import { warnings } from './warnings.ts';

/** Version of the keys below: a key that changes its meaning or goes raises it, a new one does not. */
export const SCHEMA_VERSION = 1;

/** A value for each limit, by its name. */
export type ByLimit = { readonly [Name in Exclude<LimitName, ''>]: number };

/** How the charge balance was reached, and what is left of it. */
export type BalanceSummary =
  | {
      /** The cycle was repeated until the store ended as full as it began. */
      readonly method: 'repetition';
      /** Laps driven; the one that ended nearest to its start counts. */
      readonly laps: number;
      /** Stored-energy change of the lap that counts; it is not corrected for. */
      readonly residual_pct_of_fuel_energy: number | null;
      readonly slope: null;
      readonly correction_pct_of_fuel_energy: 0;
      readonly bracketed: null;
      readonly reason: null;
    }
  | {
      /** Fuel was corrected along a line through several laps. */
      readonly method: 'slope';
      readonly laps: number;
      /** Stored-energy change of the lap that was corrected. */
      readonly residual_pct_of_fuel_energy: number | null;
      /** J of fuel for each J more in the store at the end; null where the laps show none */
      readonly slope: number | null;
      readonly correction_pct_of_fuel_energy: number | null;
      /** Whether laps that gained and laps that lost stored energy both went into the line */
      readonly bracketed: boolean;
      /** Why not by repetition: the cycle ends faster or higher than it began, or never settled. */
      readonly reason: 'open_trace' | 'unsettled';
    };

/**
 * The fuel node, in = out, and beside it how the fuel that counts comes about:
 * burned + battery debt charge + slope correction = total.
 */
export type FuelLedger = NodeLines<'fuel'> & {
  readonly battery_debt_charge_kJ: number;
  readonly slope_correction_kJ: number;
  readonly total_kJ: number;
};

/** The wheel node, in = out, and beside it the two parts of the demand: driving and braking. */
export type WheelLedger = NodeLines<'wheel'> & {
  readonly traction_kJ: number;
  readonly braking_kJ: number;
};

/** Where every joule of a run went. */
export interface LedgerSummary {
  readonly fuel: FuelLedger;
  readonly wheel: WheelLedger;
  readonly electric: NodeLines<'electric'>;
}

/** What the engine could not give. */
export interface ShortfallSummary {
  readonly energy_kJ: number;
  readonly seconds: number;
  readonly pct_of_tractive: number;
}

/** Counts and times of a run. */
export interface Counts {
  readonly engine_starts: number;
  readonly engine_starts_per_km: number;
  readonly engine_on_s: number;
  /** Engine off while the car moves */
  readonly engine_off_driving_s: number;
  readonly standstill_s: number;
  /** Engine faster than its greatest speed */
  readonly overspeed_s: number;
  /** Engine map read outside its measured field */
  readonly outside_map_s: number;
}

/** A run without the store. */
export interface ReferenceSummary {
  readonly ledger: LedgerSummary;
  readonly shortfall: ShortfallSummary;
  readonly counts: Counts;
}

/**
 * A case as it turned out, the document that `--format json` prints. Every key ends in its unit. A
 * percentage of nothing (a drive that burns no fuel at all) is null.
 */
export interface Summary {
  readonly schema_version: typeof SCHEMA_VERSION;
  readonly tool: string;
  readonly case: CaseNames & { readonly hash: string };
  readonly cycle: {
    readonly duration_s: number;
    readonly distance_km: number;
    readonly max_speed_kmh: number;
    readonly mean_speed_kmh: number;
    /** At the end less at the start; what is not about 0 is no lap. */
    readonly speed_change_kmh: number;
    readonly altitude_change_m: number;
  };
  /** With the battery's debt charged; with the store also charge-balanced. */
  readonly fuel: {
    readonly baseline_L_per_100km: number;
    readonly stop_start_L_per_100km: number;
    readonly store_L_per_100km: number;
    readonly baseline_co2_g_per_km: number;
    readonly stop_start_co2_g_per_km: number;
    readonly store_co2_g_per_km: number;
  };
  readonly saving: {
    readonly vs_baseline_pct: number | null;
    readonly vs_stop_start_pct: number | null;
    readonly balance: BalanceSummary;
  };
  /** Of the balanced lap with the store. */
  readonly ledger: LedgerSummary & {
    readonly store: NodeLines<'store'>;
    /** Worst imbalance of any node of the three runs, over the energy moved through it */
    readonly closure_relative: number;
  };
  /** Braking energy at the wheels that the store did not take, by what kept it out. */
  readonly missed_recovery_kJ: ByLimit;
  readonly shortfall: ShortfallSummary;
  /** `limit_s`: how long each limit bit */
  readonly counts: Counts & { readonly limit_s: ByLimit };
  readonly references: {
    readonly baseline: ReferenceSummary;
    readonly stop_start: ReferenceSummary;
  };
  readonly warnings: readonly string[];
}

/** What the parts of a case are called. */
export interface CaseNames {
  readonly car: string;
  readonly store: string;
  readonly strategy: string;
  readonly cycle: string;
}

/** Everything that a summary is made of. */
export interface SummarySource {
  /** Name and version of the program */
  readonly tool: string;
  readonly names: CaseNames;
  /** Hash of the resolved case */
  readonly hash: string;
  readonly trace: Trace;
  readonly result: CaseResult;
}

/**
 * Puts a case's result into the document that every format prints.
 * @param source the result, and what it is the result of
 * @returns the summary, in the units that its keys name
 */
export function summarise(source: SummarySource): Summary {
  const { names, trace, result } = source;
  const { baseline, stopStart, withStore, fittedCar } = result;
  const { fuel } = fittedCar.engine;
  const charge = (run: Run) => debtFuel(fittedCar, run);
  const { ledger } = withStore.run;
  const summary = {
    schema_version: SCHEMA_VERSION,
    tool: source.tool,
    case: {
      car: names.car,
      store: names.store,
      strategy: names.strategy,
      cycle: names.cycle,
      hash: source.hash,
    },
    cycle: {
      duration_s: duration(trace),
      distance_km: distance(trace) / KILOMETRE,
      max_speed_kmh: maxSpeed(trace) / KMH,
      mean_speed_kmh: meanSpeed(trace) / KMH,
      speed_change_kmh: speedChange(trace) / KMH,
      altitude_change_m: altitudeChange(trace),
    },
    fuel: {
      baseline_L_per_100km: litresPer100Km(fuel, baseline.fuel, ledger.distance),
      stop_start_L_per_100km: litresPer100Km(fuel, stopStart.fuel, ledger.distance),
      store_L_per_100km: litresPer100Km(fuel, withStore.fuel, ledger.distance),
      baseline_co2_g_per_km: gramsPerKm(fuel, baseline.fuel, ledger.distance),
      stop_start_co2_g_per_km: gramsPerKm(fuel, stopStart.fuel, ledger.distance),
      store_co2_g_per_km: gramsPerKm(fuel, withStore.fuel, ledger.distance),
    },
    saving: {
      vs_baseline_pct: percentOf(baseline.fuel - withStore.fuel, baseline.fuel),
      vs_stop_start_pct: percentOf(stopStart.fuel - withStore.fuel, stopStart.fuel),
      balance: balanceSummary(withStore.balance),
    },
    ledger: {
      ...ledgerSummary(ledger, charge(withStore.run), slopeCorrection(withStore), withStore.fuel),
      store: nodeLines('store', ledger),
      closure_relative: Math.max(
        baseline.run.closure,
        stopStart.run.closure,
        withStore.run.closure,
      ),
    },
    missed_recovery_kJ: byLimit(ledger.missed, KILO),
    shortfall: shortfallSummary(ledger),
    counts: { ...counts(ledger), limit_s: byLimit(ledger.limitTime, 1) },
    references: {
      baseline: referenceSummary(baseline.run, charge(baseline.run), baseline.fuel),
      stop_start: referenceSummary(stopStart.run, charge(stopStart.run), stopStart.fuel),
    },
  } as const;
  return { ...summary, warnings: warnings(summary) };
}

/** Fuel energy [J] over a distance [m], in L/100 km. */
function litresPer100Km(fuel: Fuel, energy: number, metres: number): number {
  return (litres(fuel, energy) * LITRE) / metres / LITRE_PER_100KM;
}

/** Fuel energy [J] over a distance [m], in g CO2/km. */
function gramsPerKm(fuel: Fuel, energy: number, metres: number): number {
  return (carbonDioxide(fuel, energy) * GRAM) / metres / GRAM_PER_KM;
}

/** A share in %; null where there is nothing to take it of. */
function percentOf(part: number, whole: number): number | null {
  return whole > 0 ? part / whole / PERCENT : null;
}

/** A ratio that the charge balance worked out, in %; null where the lap burned no fuel. */
function percent(ratio: number): number | null {
  return Number.isFinite(ratio) ? ratio / PERCENT : null;
}

function balanceSummary(balance: Balance): BalanceSummary {
  const common = {
    laps: balance.laps,
    residual_pct_of_fuel_energy: percent(balance.residual),
  };
  if (balance.method === 'repetition') {
    return {
      method: balance.method,
      ...common,
      slope: null,
      correction_pct_of_fuel_energy: 0,
      bracketed: null,
      reason: null,
    };
  }
  return {
    method: balance.method,
    ...common,
    slope: balance.slope ?? null,
    correction_pct_of_fuel_energy: percent(balance.correction),
    bracketed: balance.bracketed,
    reason: balance.reason === 'open-trace' ? 'open_trace' : balance.reason,
  };
}

/** What the slope of fuel over stored energy added to the fuel of the lap [J]. */
function slopeCorrection({ run, balance }: BalancedRun): number {
  if (balance.method === 'repetition' || balance.slope === undefined) return 0;
  return -balance.slope * run.ledger.storeChange;
}

function ledgerSummary(
  ledger: Ledger,
  debtCharge: number,
  correction: number,
  total: number,
): LedgerSummary {
  return {
    fuel: {
      ...nodeLines('fuel', ledger),
      battery_debt_charge_kJ: debtCharge / KILO,
      slope_correction_kJ: correction / KILO,
      total_kJ: total / KILO,
    },
    wheel: {
      ...nodeLines('wheel', ledger),
      traction_kJ: ledger.traction / KILO,
      braking_kJ: ledger.braking / KILO,
    },
    electric: nodeLines('electric', ledger),
  };
}

function nodeLines<Name extends NodeName>(name: Name, ledger: Ledger): NodeLines<Name> {
  const lines = Object.entries(LEDGER_LINES[name]);
  return Object.fromEntries(
    lines.map(([key, line]) => [key, line.of(ledger) / KILO]),
  ) as NodeLines<Name>;
}

function byLimit(values: Float64Array, unit: number): ByLimit {
  const named = LIMITS.flatMap((name, index) =>
    name === '' ? [] : [[name, values[index]! / unit] as const],
  );
  return Object.fromEntries(named) as unknown as ByLimit;
}

function shortfallSummary(ledger: Ledger): ShortfallSummary {
  return {
    energy_kJ: ledger.shortfall / KILO,
    seconds: ledger.shortfallTime,
    // Without traction there is nothing that could be missing.
    pct_of_tractive: percentOf(ledger.shortfall, ledger.traction) ?? 0,
  };
}

function counts(ledger: Ledger): Counts {
  return {
    engine_starts: ledger.engineStarts,
    engine_starts_per_km: (ledger.engineStarts * KILOMETRE) / ledger.distance,
    engine_on_s: ledger.engineOnTime,
    engine_off_driving_s: ledger.engineOffDriving,
    standstill_s: ledger.standstillTime,
    overspeed_s: ledger.overspeedTime,
    outside_map_s: ledger.outsideMapTime,
  };
}

function referenceSummary(run: Run, debtCharge: number, total: number): ReferenceSummary {
  return {
    ledger: ledgerSummary(run.ledger, debtCharge, 0, total),
    shortfall: shortfallSummary(run.ledger),
    counts: counts(run.ledger),
  };
}
