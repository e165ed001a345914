import { fixed } from '../summary/numbers.ts';
import type { Summary } from '../summary/summary.ts';
import { PART_WORDS, waterfallCautions } from '../summary/waterfall-words.ts';
import { type Section, sectionMarkdown } from './section.ts';
import { waterfallNotes } from './waterfall-notes.ts';

/** A saving in steps as a section of Markdown; none without steps. */
export function waterfallMarkdown(summary: Summary): string[] {
  const { waterfall, fuel, saving } = summary;
  if (waterfall === undefined) return [];
  const section: Section = {
    title: 'Saving in steps',
    columns: ['L/100 km', 'saving, %', 'lost without, %'],
    rows: [
      ['car as it is', fixed(fuel.baseline_L_per_100km, 3), '', ''],
      ...waterfall.map(
        (step) =>
          [
            PART_WORDS[step.step],
            fixed(step.fuel_L_per_100km, 3),
            fixed(step.saving_pct, 2),
            fixed(step.without.lost_pct, 2),
          ] as const,
      ),
      ['whole saving', fixed(fuel.store_L_per_100km, 3), fixed(saving.vs_baseline_pct, 2), ''],
    ],
    notes: [...waterfallNotes(summary), ...waterfallCautions(waterfall)],
  };
  return [sectionMarkdown(section)];
}
