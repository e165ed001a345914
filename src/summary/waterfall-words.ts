import { PERCENT } from '../config/units.ts';
import { BALANCE_LIMIT } from '../simulate/balance.ts';
import type { Part } from '../simulate/waterfall.ts';
import { rounded } from './numbers.ts';
import type { PartialSummary, StepSummary } from './waterfall.ts';

/** A slope this flat says that the fuel does not hang on what is stored [J of fuel a joule]. */
const FLAT = 1e-6;

/** A correction below this prints as nothing [%]. */
const SHOWN_PCT = 0.0005;

/** Parts of a saving, for people. */
export const PART_WORDS: { readonly [Name in Part]: string } = {
  stop_start: 'stop-start',
  store_mass: 'store carried along',
  recovery: 'recovery',
  launch_assist: 'launch assist',
  acceleration_assist: 'assist in acceleration',
  keep_off: 'engine kept off',
  coast: 'engine-off coast',
  reserve: 'reserve',
  strategy: 'strategy (plug-in)',
};

/**
 * What a reader must know before trusting a single step: which runs were corrected, which are not
 * balanced, and which did not follow the trace.
 * @param steps of a saving
 * @returns a sentence for each of the three that occurs
 */
export function waterfallCautions(steps: readonly StepSummary[]): string[] {
  const runs = steps.flatMap((step) => [
    { name: PART_WORDS[step.step], ...step },
    { name: `all without ${PART_WORDS[step.step]}`, ...step.without },
  ]);
  const told = (words: string, figure: (run: PartialSummary) => number | undefined, of: string) => {
    const found = runs.flatMap((run) => {
      const value = figure(run);
      return value === undefined ? [] : [`${run.name} ${rounded(value)} %`];
    });
    return found.length === 0 ? [] : [`${words}, in % of ${of}: ${found.join(', ')}.`];
  };
  return [
    ...told('Corrected along the slope of fuel over stored energy', corrected, 'their fuel'),
    ...told('Not balanced, the store ends off its start', unbalanced, 'the fuel energy'),
    ...told('Trace not followed, work is missing', missing, 'the tractive energy'),
  ];
}

function corrected({ balance }: PartialSummary): number | undefined {
  const correction = balance?.correction_pct_of_fuel_energy ?? 0;
  return Math.abs(correction) < SHOWN_PCT ? undefined : correction;
}

/** Nothing shows what the stored energy is worth, or only laps that all changed it the same way. */
function unbalanced({ balance }: PartialSummary): number | undefined {
  if (balance?.method !== 'slope') return undefined;
  const residual = balance.residual_pct_of_fuel_energy ?? 0;
  const isPriced = balance.slope !== null && (balance.bracketed || Math.abs(balance.slope) < FLAT);
  return isPriced || Math.abs(residual) <= BALANCE_LIMIT / PERCENT ? undefined : residual;
}

function missing({ shortfall }: PartialSummary): number | undefined {
  return shortfall.energy_kJ > 0 ? shortfall.pct_of_tractive : undefined;
}
