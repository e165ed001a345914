import { PERCENT } from '../config/units.ts';
import { BALANCE_LIMIT, FLAT } from '../simulate/balance.ts';
import type { BalanceSummary } from './balance-summary.ts';
import { rounded } from './numbers.ts';
import type { ShortfallSummary } from './shortfall-summary.ts';
import type { Counts, Summary } from './summary.ts';

/** Smaller differences between the ends of a drive are not worth a word. */
const SHOWN_SPEED_KMH = 0.1;
const SHOWN_ALTITUDE_M = 1;

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
    ...searchWarnings(summary),
    ...savingWarnings(summary),
    ...storeWarnings(summary),
    ...namedRuns(summary).flatMap(([name, run]) => runWarnings(name, run)),
  ];
}

function balanceWarnings(summary: Unwarned): string[] {
  const { balance } = summary.saving;
  if (balance.method === 'repetition') return [];
  const open = balance.reason === 'open_trace' ? [openTraceWarning(summary)] : [];
  const { residual_pct_of_fuel_energy: residual, correction_pct_of_fuel_energy: correction } =
    balance;
  if (residual === null || correction === null) return open;
  const found = [...open];
  if (balance.reason === 'unsettled') {
    found.push(
      `Repeating the cycle did not settle: no lap ended with the store as full as it began, the nearest lap ${rounded(residual)} % of the fuel energy off.${correctionWords(balance, correction)}`,
    );
  }
  const limit = BALANCE_LIMIT / PERCENT;
  const isOff = Math.abs(residual) > limit;
  if (balance.reason === 'alternating' && (isOff || Math.abs(correction) > limit)) {
    found.push(
      `Repeating the cycle did not settle: laps that gain and laps that lose stored energy take turns, the nearest ${rounded(residual)} % of the fuel energy off its start. Its fuel is corrected by ${rounded(correction)} %, to the mean of the laps: the ledger and the log show this one lap.`,
    );
  }
  if (isOff && balance.slope === null) {
    found.push(
      `The saving is not balanced: the store ends ${rounded(residual)} % of the fuel energy off its start however full it begins, so that nothing shows what that is worth in fuel.`,
    );
  } else if (isOff && !balance.bracketed && Math.abs(balance.slope ?? 0) >= FLAT) {
    found.push(
      'All laps changed the stored energy the same way, so the correction reaches beyond what was driven: take the saving for a rough one.',
    );
  }
  return found;
}

function correctionWords({ slope, laps }: BalanceSummary, correction: number): string {
  if (slope === null) return '';
  return ` Its fuel is corrected by ${rounded(correction)} % along the slope of fuel over stored energy (${rounded(slope)} J of fuel a joule, from ${laps} laps).`;
}

/** A drive that is no lap takes energy with it, or brings some, that the car has not paid for. */
function openTraceWarning({ cycle, ledger: { wheel } }: Unwarned): string {
  const { speed_change_kmh: speed, altitude_change_m: altitude } = cycle;
  const ends: string[] = [];
  const energies: string[] = [];
  if (Math.abs(speed) > SHOWN_SPEED_KMH) {
    ends.push(`${rounded(Math.abs(speed))} km/h ${speed > 0 ? 'faster' : 'slower'}`);
    energies.push(`${rounded(wheel.kinetic_change_kJ)} kJ of kinetic energy`);
  }
  if (Math.abs(altitude) > SHOWN_ALTITUDE_M) {
    ends.push(`${rounded(Math.abs(altitude))} m ${altitude > 0 ? 'higher' : 'lower'}`);
    energies.push(`${rounded(wheel.grade_kJ)} kJ of potential energy`);
  }
  return `The drive ends ${ends.join(' and ')} than it begins, so it is not repeated: ${energies.join(' and ')} of the car with the store stand in its wheel lines, about the same as without it.`;
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

function storeWarnings({ saving, ledger: { store } }: Unwarned): string[] {
  // The ledger is that of one lap, and the store may take in one what it gives in another.
  if (saving.balance.reason === 'alternating') return [];
  if (store.recovered_braking_kJ + store.recovered_from_engine_kJ === 0) {
    return ['The store is never charged: it took no energy in the whole lap.'];
  }
  if (store.assisted_kJ === 0) {
    return ['The store never helps: all that it took in the whole lap was lost.'];
  }
  return [];
}

function searchWarnings({ search }: Unwarned): string[] {
  if (search === undefined || (search.factor > search.from && search.factor < search.to)) return [];
  return [
    `No least was found within the factors of stored energy that were tried, ${search.from} to ${search.to}: ${search.factor}, at an end, was used. Either a better one lies beyond, or the factor matters little on this cycle.`,
  ];
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
