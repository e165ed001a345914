import { PERCENT } from '../config/units.ts';
import type { Action } from '../optimum/actions.ts';
import { REFINEMENT_LIMIT } from '../optimum/bound.ts';
import type { BoundedSummary, StretchSummary } from '../optimum/bound-summary.ts';
import { fixed } from '../summary/numbers.ts';

/** What engine and store did, for an engineer who may have to change it. */
const ACTION_WORDS: { readonly [Name in Action]: string } = {
  standing_engine_off: 'engine off at rest',
  standing_engine_idles: 'engine idles at rest',
  braking_engine_off: 'engine off, only the brakes slow',
  braking_engine_off_recovering: 'engine off, store recovers',
  braking_engine_idles: 'engine idles, only the brakes slow',
  braking_engine_idles_recovering: 'engine idles, store recovers',
  braking_engine_drags: 'engine in overrun, no recovery',
  braking_engine_drags_recovering: 'engine in overrun, store recovers the rest',
  store_drives_engine_off: 'store drives, engine off',
  store_drives_engine_idles: 'store drives, engine runs on',
  engine_drives: 'engine drives alone',
  engine_drives_store_helps: 'engine drives, store helps',
  engine_drives_and_charges: 'engine drives and charges',
};

/** What was done, with the store's power where it had any [kW]. */
export function actionWords(action: Action, power: number): string {
  const words = ACTION_WORDS[action];
  return power === 0 ? words : `${words} (${fixed(Math.abs(power), 1)} kW)`;
}

/** From when to when, in as many decimals as tell the ends apart, and how fast. */
export function placeWords({ from_s, to_s, mean_speed_kmh }: StretchSummary): string {
  const decimals = [0, 1, 2].find((count) => fixed(from_s, count) !== fixed(to_s, count));
  const time =
    decimals === undefined
      ? `at ${fixed(from_s, 2)} s`
      : `${fixed(from_s, decimals)}–${fixed(to_s, decimals)} s`;
  return `${time}, ${fixed(mean_speed_kmh, 0)} km/h`;
}

/** What the figures of a bound rest on, in sentences. */
export function boundNotes({ bound, shortfall }: BoundedSummary): string[] {
  const { grid } = bound;
  const notes = [
    `The bound is the best lap of a search that knows the whole cycle, driven by the same simulator; the store ends at least as full as it began, with ${fixed(bound.residual_pct_of_fuel_energy, 4)} % of the fuel energy more in it. The last of ${grid.passes} refinements changed it by ${fixed(bound.refinement_pct, 3)} % (${grid.energy_nodes} energies × ${grid.states} states of engine and battery, ${grid.ways} ways).`,
  ];
  if (bound.refinement_pct === null || bound.refinement_pct > REFINEMENT_LIMIT / PERCENT) {
    notes.push(
      `That is more than the ${fixed(REFINEMENT_LIMIT / PERCENT, 2)} % aimed at: take the distance for open by as much.`,
    );
  }
  if (shortfall.energy_kJ > bound.shortfall_kJ + 1e-3) {
    notes.push(
      `The strategy leaves ${fixed(shortfall.energy_kJ, 1)} kJ of the trace undriven, the bound ${fixed(bound.shortfall_kJ, 1)} kJ: the distance flatters the strategy.`,
    );
  } else if (bound.gap_pct !== null && bound.gap_pct < 0) {
    notes.push(
      'The strategy lies below the bound: the search has missed what the strategy found, or the charge balance of the strategy makes it look better than it is. Take its own fuel for the least that is known.',
    );
  }
  return notes;
}
