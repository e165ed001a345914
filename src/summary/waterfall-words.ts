import { PERCENT } from '../config/units.ts';
import { BALANCE_LIMIT, FLAT } from '../simulate/balance.ts';
import type { Part } from '../simulate/waterfall.ts';
import { rounded } from './numbers.ts';
import type { PartialSummary, StepSummary } from './waterfall.ts';

/** A correction below this prints as nothing [%]. */
const SHOWN_PCT = 0.0005;

/** Parts of a saving, for people. */
export const PART_WORDS: { readonly [Name in Part]: string } = {
  stop_start: 'stop-start',
  store_mass: 'store carried along',
  recovery: 'recovery',
  launch_assist: 'launch assist',
  acceleration_assist: 'assist beyond launches',
  keep_off: 'engine kept off',
  coast: 'engine-off coast',
  reserve: 'reserve from engine',
  strategy: 'strategy as a whole',
};

/**
 * What a reader must know before trusting a single step: which runs were corrected, which are not
 * balanced, and which did not follow the trace.
 * @param steps of a saving
 * @returns a sentence for each of the three that occurs, with the largest figure
 */
export function waterfallCautions(steps: readonly StepSummary[]): string[] {
  const runs = steps.flatMap((step) => [
    { name: PART_WORDS[step.step], ...step },
    { name: `without ${PART_WORDS[step.step]}`, ...step.without },
  ]);
  const told = (words: string, of: string, figure: (run: PartialSummary) => number) => {
    const found = runs.map((run) => ({ name: run.name, value: Math.abs(figure(run)) }));
    const worst = Math.max(...found.map(({ value }) => value));
    if (worst === 0) return [];
    const names = found.filter(({ value }) => value > 0).map(({ name }) => name);
    return [`${words} by up to ${rounded(worst)} % of the ${of}: ${names.join(', ')}.`];
  };
  return [
    ...told('Corrected to balance the charge', 'fuel', correction),
    ...told('Not balanced: the store ends off its start', 'fuel energy', imbalance),
    ...told('Trace not followed: work is short', 'tractive energy', shortfall),
  ];
}

/** Of a corrected run [%]; 0 where it is none to speak of. */
function correction({ balance }: PartialSummary): number {
  const value = balance?.correction_pct_of_fuel_energy ?? 0;
  return Math.abs(value) < SHOWN_PCT ? 0 : value;
}

/**
 * What the store ends off its start [%], where nothing shows what that is worth in fuel, or only
 * laps that all changed it the same way do.
 */
function imbalance({ balance }: PartialSummary): number {
  if (balance?.method !== 'slope') return 0;
  const residual = balance.residual_pct_of_fuel_energy ?? 0;
  const isPriced = balance.slope !== null && (balance.bracketed || Math.abs(balance.slope) < FLAT);
  return isPriced || Math.abs(residual) <= BALANCE_LIMIT / PERCENT ? 0 : residual;
}

function shortfall({ shortfall: { pct_of_tractive } }: PartialSummary): number {
  return pct_of_tractive;
}
