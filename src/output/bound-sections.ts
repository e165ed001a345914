import type { BoundedSummary } from '../optimum/bound-summary.ts';
import { fixed } from '../summary/numbers.ts';
import { actionWords, boundNotes, placeWords } from './bound-words.ts';
import type { Section, SectionRow } from './section.ts';

/** Losses may be off by this share of what they should add up to, or by so much [g]. */
const SLACK_SHARE = 0.25;
const SLACK = 0.5;

/** The bound beside the references, and the distance of a strategy to it. */
export function boundSection(summary: BoundedSummary): Section {
  const { fuel, saving, bound, case: names } = summary;
  const row = (words: string, litres: number, share: number | null): SectionRow => [
    words,
    fixed(litres, 3),
    fixed(share, 2),
  ];
  const hasStrategy = bound.losses !== undefined;
  const stopStart = 100 * (1 - fuel.stop_start_L_per_100km / fuel.baseline_L_per_100km);
  return {
    title: 'Least fuel',
    columns: ['L/100 km', 'saving, %'],
    rows: [
      row('car as it is', fuel.baseline_L_per_100km, 0),
      row('with stop-start', fuel.stop_start_L_per_100km, stopStart),
      ...(hasStrategy
        ? [row(`strategy ${names.strategy}`, fuel.store_L_per_100km, saving.vs_baseline_pct)]
        : []),
      row(
        'bound: least fuel with this store',
        fuel.bound_L_per_100km,
        bound.saving_vs_baseline_pct,
      ),
      ...(hasStrategy
        ? [
            [
              'strategy above the bound, and in % of it',
              fixed(fuel.store_L_per_100km - fuel.bound_L_per_100km, 3),
              fixed(bound.gap_pct, 2),
            ] as const,
          ]
        : []),
    ],
    notes: boundNotes(summary),
  };
}

/** Where a strategy loses most; none without one, or without a loss. */
export function lossSection({ bound, shortfall }: BoundedSummary): Section | undefined {
  const { losses, lost_g: lost, gap_g: gap } = bound;
  if (losses === undefined || losses.length === 0) return undefined;
  if (lost === undefined || gap === undefined) return undefined;
  const told = losses.reduce((sum, stretch) => sum + stretch.lost_g, 0);
  return {
    title: 'Where it is lost',
    columns: ['lost, g'],
    rows: losses.flatMap((stretch): SectionRow[] => [
      [placeWords(stretch), fixed(stretch.lost_g, 2)],
      [`  did: ${actionWords(stretch.strategy, stretch.strategy_store_power_kW)}`, ''],
      [`  bound: ${actionWords(stretch.bound, stretch.bound_store_power_kW)}`, ''],
    ]),
    notes: [
      `These ${losses.length} stretches make up ${fixed(told, 1)} g of ${fixed(lost, 1)} g lost; this lap burns ${fixed(gap, 1)} g more than the bound. Each decision is held against the cheapest one from the same state, with all that follows from both.`,
      ...(shortfall.energy_kJ > 0
        ? [
            'The strategy leaves work undone, which counts here for far more fuel than it would take: grams of stretches that lead to it are no fuel.',
          ]
        : addUp(lost, gap)
          ? []
          : [
              'Both should be the same: here the costs to go do not fit the lap. Take the stretches for places to look at, and their grams for rough.',
            ]),
    ],
  };
}

/** Whether losses are near enough to what they should add up to [g]. */
function addUp(lost: number, gap: number): boolean {
  return Math.abs(lost - gap) <= Math.max(SLACK_SHARE * gap, SLACK);
}
