import type { CaseResult } from '../simulate/case.ts';
import type { Part, PartialRun, WaterfallStep } from '../simulate/waterfall.ts';
import { type BalanceSummary, balanceSummary } from './balance-summary.ts';
import { litresPer100Km, percentOf } from './fuel-figures.ts';
import { type ShortfallSummary, shortfallSummary } from './shortfall-summary.ts';

/** A run with some parts of the strategy. */
export interface PartialSummary {
  readonly fuel_L_per_100km: number;
  /** How its store was balanced; null where it has none */
  readonly balance: BalanceSummary | null;
  readonly shortfall: ShortfallSummary;
}

/** A step of a saving: the fuel after it, and what it saves or, below zero, costs. */
export interface StepSummary extends PartialSummary {
  readonly step: Part;
  readonly saving_L_per_100km: number;
  /** Of the fuel of the car as it is; the steps add up to `saving.vs_baseline_pct`. */
  readonly saving_pct: number | null;
  /** All parts but this one: what of the whole saving is lost without it, in the same %. */
  readonly without: PartialSummary & { readonly lost_pct: number | null };
}

/** Steps of a saving, in the units that their keys name. */
export function waterfallSummary(
  steps: readonly WaterfallStep[],
  { baseline, withStore, fittedCar }: CaseResult,
): StepSummary[] {
  const litres = (energy: number) =>
    litresPer100Km(fittedCar.engine.fuel, energy, withStore.run.ledger.distance);
  const partial = ({ run, fuel, balance }: PartialRun): PartialSummary => ({
    fuel_L_per_100km: litres(fuel),
    balance: balance === undefined ? null : balanceSummary(balance),
    shortfall: shortfallSummary(run.ledger),
  });
  return steps.map(({ part, after, saving, without }) => ({
    step: part,
    saving_L_per_100km: litres(saving),
    saving_pct: percentOf(saving, baseline.fuel),
    ...partial(after),
    without: {
      lost_pct: percentOf(without.fuel - withStore.fuel, baseline.fuel),
      ...partial(without),
    },
  }));
}
