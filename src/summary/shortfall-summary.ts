import { KILO } from '../config/units.ts';
import type { Ledger } from '../simulate/ledger.ts';
import { percentOf } from './fuel-figures.ts';

/** What the engine could not give. */
export interface ShortfallSummary {
  readonly energy_kJ: number;
  readonly seconds: number;
  readonly pct_of_tractive: number;
}

/** The shortfall of a run, for results. */
export function shortfallSummary(ledger: Ledger): ShortfallSummary {
  return {
    energy_kJ: ledger.shortfall / KILO,
    seconds: ledger.shortfallTime,
    // Without traction there is nothing that could be missing.
    pct_of_tractive: percentOf(ledger.shortfall, ledger.traction) ?? 0,
  };
}
