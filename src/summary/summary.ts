import { KILO, KILOMETRE, KMH, PERCENT } from '../config/units.ts';
import { speedChange } from '../cycle/closed.ts';
import {
  altitudeChange,
  distance,
  duration,
  maxSpeed,
  meanSpeed,
  type Trace,
} from '../cycle/trace.ts';
import { LIMITS, type LimitName } from '../physics/limit.ts';
import type { BalancedRun } from '../simulate/balance.ts';
import type { CaseResult } from '../simulate/case.ts';
import type { Ledger } from '../simulate/ledger.ts';
import type { Run } from '../simulate/run.ts';
import { debtFuel } from '../simulate/total-fuel.ts';
import type { FoundNumbers } from '../simulate/tuned.ts';
import type { WaterfallStep } from '../simulate/waterfall.ts';
import { type BalanceSummary, balanceSummary } from './balance-summary.ts';
import { gramsPerKm, litresPer100Km, percentOf } from './fuel-figures.ts';
import { LEDGER_LINES, type NodeLines, type NodeName } from './ledger-lines.ts';
import { type ShortfallSummary, shortfallSummary } from './shortfall-summary.ts';
import { warnings } from './warnings.ts';
import { type StepSummary, waterfallSummary } from './waterfall.ts';

/** Version of the keys below: a key that changes its meaning or goes raises it, a new one does not. */
export const SCHEMA_VERSION = 1;

/** A value for each limit, by its name. */
export type ByLimit = { readonly [Name in Exclude<LimitName, ''>]: number };

/**
 * The fuel node, in = out, and beside it how the fuel that counts comes about:
 * burned + battery debt charge + correction to the charge balance (slope_correction_kJ) = total.
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
  /** The numbers of the least cost that were searched; only where the strategy leaves them open. */
  readonly search?: SearchSummary;
  /** The saving against the car as it is, part by part; only where it was asked for. */
  readonly waterfall?: readonly StepSummary[];
  /** Of the balanced lap with the store. */
  readonly ledger: LedgerSummary & {
    readonly store: NodeLines<'store'>;
    /** Worst imbalance of any node of the three runs, over the energy moved through it */
    readonly closure_relative: number;
  };
  /** Braking energy at the wheels that the store did not take, by what kept it out. */
  readonly missed_recovery_kJ: ByLimit;
  readonly shortfall: ShortfallSummary;
  /**
   * `lowest_stored_pct`: least that the store held at any time, of its working range and negative
   * below it; `limit_s`: how long each limit bit
   */
  readonly counts: Counts & { readonly lowest_stored_pct: number; readonly limit_s: ByLimit };
  readonly references: {
    readonly baseline: ReferenceSummary;
    readonly stop_start: ReferenceSummary;
  };
  readonly warnings: readonly string[];
}

/** The numbers of a least-cost strategy that need the least fuel of those tried. */
export interface SearchSummary {
  /** [J/J], and the range in which it was searched */
  readonly factor: number;
  readonly from: number;
  readonly to: number;
  /** How much higher the factor is with an empty store than with a full one [J/J]; only if searched */
  readonly gain?: number;
  /** Of an engine start, beyond what it takes; only if searched */
  readonly start_price_kJ?: number;
  /** Sets of numbers that were driven */
  readonly tried: number;
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
  /** The saving in steps, where it is to be shown */
  readonly waterfall?: readonly WaterfallStep[] | undefined;
}

/**
 * Puts a case's result into the document that every format prints.
 * @param source the result, and what it is the result of
 * @returns the summary, in the units that its keys name
 */
export function summarise(source: SummarySource): Summary {
  const { names, trace, result, waterfall } = source;
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
    ...(withStore.found && { search: searchSummary(withStore.found) }),
    ...(waterfall && { waterfall: waterfallSummary(waterfall, result) }),
    ledger: {
      ...ledgerSummary(ledger, charge(withStore.run), balanceCorrection(withStore), withStore.fuel),
      store: nodeLines('store', ledger),
      closure_relative: Math.max(
        baseline.run.closure,
        stopStart.run.closure,
        withStore.run.closure,
      ),
    },
    missed_recovery_kJ: byLimit(ledger.missed, KILO),
    shortfall: shortfallSummary(ledger),
    counts: {
      ...counts(ledger),
      lowest_stored_pct: withStore.run.lowestStored / PERCENT,
      limit_s: byLimit(ledger.limitTime, 1),
    },
    references: {
      baseline: referenceSummary(baseline.run, charge(baseline.run), baseline.fuel),
      stop_start: referenceSummary(stopStart.run, charge(stopStart.run), stopStart.fuel),
    },
  } as const;
  return { ...summary, warnings: warnings(summary) };
}

function searchSummary({ numbers, tried }: FoundNumbers): SearchSummary {
  const numberOf = (own: string) => numbers.find(({ name }) => name === own);
  const { value, from, to } = numberOf('factor')!;
  const gain = numberOf('gain');
  const price = numberOf('startPrice');
  return {
    factor: value,
    from,
    to,
    ...(gain && { gain: gain.value }),
    ...(price && { start_price_kJ: price.value / KILO }),
    tried,
  };
}

/** What the charge balance added to the fuel of the lap [J]. */
function balanceCorrection({ fuel, balance }: BalancedRun): number {
  if (balance.method === 'repetition') return 0;
  const { correction } = balance;
  return Number.isFinite(correction) ? (fuel * correction) / (1 + correction) : fuel;
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
