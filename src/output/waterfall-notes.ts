import type { Part } from '../simulate/waterfall.ts';
import { fixed } from '../summary/numbers.ts';
import type { Summary } from '../summary/summary.ts';
import { PART_WORDS } from '../summary/waterfall-words.ts';

/** Parts that may stop the engine at standstill where the strategy has no stop-start. */
const STOPS_TOO: readonly Part[] = ['keep_off', 'coast', 'strategy'];

/** How a saving in steps is to be read, in sentences. */
export function waterfallNotes({ waterfall = [], references, fuel }: Summary): string[] {
  const notes = [
    'Each step is a charge-balanced run with one part more than the step above it. "Lost without" is what the whole saving loses where that part alone is left out (of the store: its mass and auxiliaries); below zero the rest saves more without it.',
  ];
  const has = (part: Part) => waterfall.some(({ step }) => step === part);
  if (has('recovery')) {
    notes.push('Recovery alone saves nothing: what it stores counts in the steps that use it.');
  }
  if (has('coast') && has('recovery')) {
    notes.push(
      'Engine-off coast brakes with the store itself, with or without recovery: what it takes so counts in its own step, and "lost without" recovery is only what coast leaves to it.',
    );
  } else if (has('coast')) {
    notes.push(
      'Engine-off coast brakes with the store itself: what it takes so counts in its own step.',
    );
  }
  const stops = STOPS_TOO.filter(has).map((part) => PART_WORDS[part]);
  const total = references.baseline.ledger.fuel.total_kJ;
  if (!has('stop_start') && stops.length > 0 && total > 0) {
    const share = 100 * (1 - fuel.stop_start_L_per_100km / fuel.baseline_L_per_100km);
    notes.push(
      `There is no stop-start in this strategy: what is saved at standstill counts under ${stops.join(' and ')}. Stop-start without a store would save ${fixed(share, 2)} %.`,
    );
  }
  return notes;
}
