import { PERCENT } from '../config/units.ts';
import type { Balance } from '../simulate/balance.ts';

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
      /** Fuel was corrected: to the mean of laps that take turns, else along a line through several laps. */
      readonly method: 'slope';
      readonly laps: number;
      /** Stored-energy change of the lap that was corrected; in a mean, the one nearest to balance. */
      readonly residual_pct_of_fuel_energy: number | null;
      /**
       * J of fuel for each J more in the store at the end, in a mean the engine's own; null where the laps
       * show none
       */
      readonly slope: number | null;
      readonly correction_pct_of_fuel_energy: number | null;
      /** Whether laps that gained and laps that lost stored energy both went into the line or the mean */
      readonly bracketed: boolean;
      /**
       * Why not by repetition: the cycle ends faster or higher than it began; its laps take turns to gain
       * and to lose stored energy, and their mean counts; or it never settled in another way.
       */
      readonly reason: 'open_trace' | 'alternating' | 'unsettled';
    };

/** A charge balance, for results. */
export function balanceSummary(balance: Balance): BalanceSummary {
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

/** A ratio that the charge balance worked out, in %; null where the lap burned no fuel. */
function percent(ratio: number): number | null {
  return Number.isFinite(ratio) ? ratio / PERCENT : null;
}
