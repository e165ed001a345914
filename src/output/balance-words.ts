import type { BalanceSummary } from '../summary/balance-summary.ts';
import { fixed } from '../summary/numbers.ts';

const WHY = {
  open_trace: 'the drive is no lap to be repeated; ',
  alternating: 'laps that gain and laps that lose stored energy take turns; ',
  unsettled: '',
} as const;

/**
 * Says in a sentence or two how the charge balance was reached and what is left of it, so that no
 * saving stands without it.
 */
export function balanceWords(balance: BalanceSummary): string {
  const residual = balance.residual_pct_of_fuel_energy;
  const off = `${fixed(residual === null ? null : Math.abs(residual), 4)} % of the fuel energy`;
  const side = residual !== null && residual < 0 ? 'below' : 'above';
  if (balance.method === 'repetition') {
    return `Balanced by repetition: after ${balance.laps} laps the store ends ${off} ${side} its start. That residual is not corrected for.`;
  }
  const why = WHY[balance.reason];
  const found = `${why}the nearest of ${balance.laps} laps ends ${off} ${side} its start`;
  if (balance.slope === null) return `Not corrected: ${found}, and all laps changed it alike.`;
  const how =
    balance.reason === 'alternating'
      ? 'to the mean of the laps'
      : 'along the slope of fuel over stored energy';
  return `Balanced by correction: ${found}; ${fixed(balance.correction_pct_of_fuel_energy, 4)} % of fuel is added, ${how}.`;
}
