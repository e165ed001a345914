import { GRAM, KILO, KMH, PERCENT } from '../config/units.ts';
import { rotorEnergy } from '../physics/rotor.ts';
import type { Store } from '../physics/store.ts';
import type { CaseResult } from '../simulate/case.ts';
import { totalFuel } from '../simulate/total-fuel.ts';
import { gramsPerKm, litresPer100Km, percentOf } from '../summary/fuel-figures.ts';
import type { Summary } from '../summary/summary.ts';
import type { Action } from './actions.ts';
import type { Bound } from './bound.ts';
import type { Stretch } from './losses.ts';

/** Stretches that are told of. */
const MOST_STRETCHES = 10;

/** A stretch of the trace on which a strategy lost fuel in one way. */
export interface StretchSummary {
  readonly from_s: number;
  readonly to_s: number;
  readonly mean_speed_kmh: number;
  readonly strategy: Action;
  /** At the wheel, positive assists */
  readonly strategy_store_power_kW: number;
  /** Cheapest from the same state */
  readonly bound: Action;
  readonly bound_store_power_kW: number;
  readonly lost_g: number;
}

/** What a case is told of its bound in brief. */
export interface BoundFigures {
  /** Fuel that counts over that of the bound; null where nothing is burned */
  readonly gap_pct: number | null;
  /** What the last refinement of the grid changed */
  readonly refinement_pct: number | null;
  readonly saving_vs_baseline_pct: number | null;
  readonly saving_vs_stop_start_pct: number | null;
  readonly shortfall_kJ: number;
}

/** The least fuel of a case, and how far a strategy is from it: a gap of null without a strategy. */
export interface BoundSummary extends BoundFigures {
  /** Stored energy at the start of the lap, above the bottom of the working range */
  readonly start_energy_kJ: number;
  /** By how much the store ends fuller than it began, over the fuel energy; not corrected for */
  readonly residual_pct_of_fuel_energy: number | null;
  readonly engine_starts: number;
  readonly grid: {
    /** Nodes of the stored energy, and states of engine and battery, of the costs to go */
    readonly energy_nodes: number;
    readonly states: number;
    /** Ways that were driven side by side */
    readonly ways: number;
    /** From coarse to fine */
    readonly passes: number;
  };
  /** Where a strategy loses most, dearest first; only with a strategy */
  readonly losses?: readonly StretchSummary[];
  /** All that it loses, as the costs to go have it */
  readonly lost_g?: number;
  /**
   * What the lap that is shown burns more than the bound, to which the losses should add up; without the
   * correction of a lap that is not in balance
   */
  readonly gap_g?: number;
}

/** A summary with the bound of its case. */
export interface BoundedSummary extends Summary {
  readonly fuel: Summary['fuel'] & BoundFuel;
  readonly bound: BoundSummary;
}

/** Least fuel per distance. */
export interface BoundFuel {
  readonly bound_L_per_100km: number;
  readonly bound_co2_g_per_km: number;
}

/** The few numbers of a bound that hold for every strategy on the same car, store and trace. */
export interface LeastFuel {
  /** [J] */
  readonly fuel: number;
  /** What the last refinement changed, over the fuel; infinite after one pass alone */
  readonly refinement: number;
  /** [m] */
  readonly distance: number;
  /** [J] */
  readonly shortfall: number;
}

/** What is worth keeping of a bound, without its lap and its costs to go. */
export function leastFuelOf({ fuel, refinement, run }: Bound): LeastFuel {
  const { distance, shortfall } = run.ledger;
  return { fuel, refinement, distance, shortfall };
}

/** Holds a case against its bound, in brief. */
export function boundFigures(
  { fuel: least, refinement, distance, shortfall }: LeastFuel,
  { baseline, stopStart, withStore, fittedCar }: CaseResult,
): { readonly fuel: BoundFuel; readonly bound: BoundFigures } {
  const { fuel } = fittedCar.engine;
  return {
    fuel: {
      bound_L_per_100km: litresPer100Km(fuel, least, distance),
      bound_co2_g_per_km: gramsPerKm(fuel, least, distance),
    },
    bound: {
      gap_pct: percentOf(withStore.fuel - least, least),
      refinement_pct: Number.isFinite(refinement) ? refinement / PERCENT : null,
      saving_vs_baseline_pct: percentOf(baseline.fuel - least, baseline.fuel),
      saving_vs_stop_start_pct: percentOf(stopStart.fuel - least, stopStart.fuel),
      shortfall_kJ: shortfall / KILO,
    },
  };
}

/**
 * Adds the bound to a summary.
 * @param summary of the case
 * @param result of the same case
 * @param store of the same case
 * @param bound
 * @param losses of its strategy, in order of time; undefined where the case has none
 */
export function withBound(
  summary: Summary,
  result: CaseResult,
  store: Store,
  bound: Bound,
  losses?: readonly Stretch[],
): BoundedSummary {
  const { fuel } = result.fittedCar.engine;
  const brief = boundFigures(leastFuelOf(bound), result);
  const { ledger, start } = bound.run;
  const { rotor } = store;
  const told = losses?.toSorted((a, b) => b.loss - a.loss).slice(0, MOST_STRETCHES);
  const grams = (energy: number) => energy / fuel.heatingValue / GRAM;
  return {
    ...summary,
    fuel: {
      ...summary.fuel,
      ...brief.fuel,
    },
    bound: {
      ...brief.bound,
      ...(losses === undefined && { gap_pct: null }),
      start_energy_kJ:
        (rotorEnergy(rotor, start.rotorSpeed) - rotorEnergy(rotor, rotor.minSpeed)) / KILO,
      residual_pct_of_fuel_energy: percentOf(ledger.storeChange, bound.fuel),
      engine_starts: ledger.engineStarts,
      grid: {
        energy_nodes: bound.grid.nodes,
        states: bound.grid.lanes,
        ways: bound.grid.ways,
        passes: bound.grid.passes,
      },
      ...(losses !== undefined && {
        losses: told!.map((stretch) => stretchSummary(stretch, grams)),
        lost_g: grams(losses.reduce((sum, { loss }) => sum + loss, 0)),
        gap_g: grams(totalFuel(result.fittedCar, result.withStore.run) - bound.fuel),
      }),
    },
  };
}

function stretchSummary(stretch: Stretch, grams: (energy: number) => number): StretchSummary {
  return {
    from_s: stretch.from,
    to_s: stretch.to,
    mean_speed_kmh: stretch.speed / KMH,
    strategy: stretch.did,
    strategy_store_power_kW: stretch.didPower / KILO,
    bound: stretch.best,
    bound_store_power_kW: stretch.bestPower / KILO,
    lost_g: grams(stretch.loss),
  };
}
