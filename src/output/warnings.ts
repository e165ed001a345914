import { rounded } from './numbers.ts';
import type { Counts, ShortfallSummary, Summary } from './summary.ts';

/** A summary whose warnings are still to be found. */
type Unwarned = Omit<Summary, 'warnings'>;

/**
 * What a reader of the figures must know before using them, in plain sentences: first what the
 * saving itself rests on, then what each run could not do.
 * @param summary the figures
 * @returns one sentence a warning, none when there is nothing to say
 */
export function warnings(summary: Unwarned): readonly string[] {
  return [
    ...balanceWarnings(summary),
    ...savingWarnings(summary),
    ...storeWarnings(summary),
    ...namedRuns(summary).flatMap(([name, run]) => runWarnings(name, run)),
  ];
}

function balanceWarnings({ saving: { balance } }: Unwarned): string[] {
  if (balance.method === 'repetition') return [];
  const { residual_pct_of_fuel_energy: residual, correction_pct_of_fuel_energy: correction } =
    balance;
  if (residual === null || correction === null) return [];
  const found = [
    `Repeating the cycle did not settle: no lap ended with the store as full as it began, the nearest lap ${rounded(residual)} % of the fuel energy off. ` +
      `Its fuel is corrected by ${rounded(correction)} % along the slope of fuel over stored energy (${rounded(balance.slope)} J of fuel a joule, from ${balance.laps} laps).`,
  ];
  if (!balance.bracketed) {
    found.push(
      'All laps changed the stored energy the same way, so the correction reaches beyond what was driven: take the saving for a rough one.',
    );
  }
  return found;
}

function savingWarnings({ saving }: Unwarned): string[] {
  if (saving.vs_baseline_pct === null || saving.vs_stop_start_pct === null) {
    return ['A car without the store burns no fuel on this cycle, so no saving can be stated.'];
  }
  if (saving.vs_stop_start_pct >= 0) return [];
  return [
    `With the store the car burns ${rounded(-saving.vs_stop_start_pct)} % more than with stop-start alone.`,
  ];
}

function storeWarnings({ ledger: { store } }: Unwarned): string[] {
  if (store.recovered_braking_kJ + store.recovered_from_engine_kJ === 0) {
    return ['The store is never charged: it took no energy in the whole lap.'];
  }
  if (store.assisted_kJ === 0) {
    return ['The store never helps: all that it took in the whole lap was lost.'];
  }
  return [];
}

interface NamedRun {
  readonly shortfall: ShortfallSummary;
  readonly counts: Counts;
}

function namedRuns(summary: Unwarned): readonly (readonly [string, NamedRun])[] {
  return [
    ['with the store', summary],
    ['as it is', summary.references.baseline],
    ['with stop-start', summary.references.stop_start],
  ];
}

function runWarnings(name: string, { shortfall, counts }: NamedRun): string[] {
  const found: string[] = [];
  if (shortfall.energy_kJ > 0) {
    found.push(
      `The car ${name} cannot follow the cycle: ${rounded(shortfall.energy_kJ)} kJ (${rounded(shortfall.pct_of_tractive)} % of the tractive energy) are missing within ${rounded(shortfall.seconds)} s.`,
    );
  }
  if (counts.overspeed_s > 0) {
    found.push(
      `The engine of the car ${name} turns faster than its greatest speed for ${rounded(counts.overspeed_s)} s: look at the gear choice.`,
    );
  }
  if (counts.outside_map_s > 0) {
    found.push(
      `The engine map of the car ${name} is read outside its measured field for ${rounded(counts.outside_map_s)} s; its nearest edge serves there.`,
    );
  }
  return found;
}
