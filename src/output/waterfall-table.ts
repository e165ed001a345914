import { fixed } from '../summary/numbers.ts';
import type { Summary } from '../summary/summary.ts';
import { PART_WORDS, waterfallCautions } from '../summary/waterfall-words.ts';
import type { Paint } from './paint.ts';
import { warningLines } from './warning-lines.ts';
import { barsOf } from './waterfall-bars.ts';
import { waterfallNotes } from './waterfall-notes.ts';
import { wrap } from './wrap.ts';

/** Columns: words, then three of figures, then the bars. */
const WORDS = 25;
const FIGURES = [9, 10, 16] as const;
const GAP = '  ';

/**
 * A saving in steps for a terminal: fuel after each step, its share of the saving, what is lost
 * without it, and a bar.
 * @param summary with or without its steps
 * @param paint emphasis for the terminal, or none
 * @param width most columns of a line
 * @returns lines, without line ends; none without steps
 */
export function waterfallLines(summary: Summary, paint: Paint, width: number): string[] {
  const { waterfall, fuel, saving } = summary;
  if (waterfall === undefined) return [];
  const taken = WORDS + FIGURES.reduce((sum, figure) => sum + figure, GAP.length);
  const { bars, scale } = barsOf(
    waterfall.map((step) => step.saving_pct),
    width - taken,
  );
  const steps = waterfall.map((step, index) =>
    row(
      `  ${PART_WORDS[step.step]}`,
      fixed(step.fuel_L_per_100km, 3),
      fixed(step.saving_pct, 2),
      fixed(step.without.lost_pct, 2),
      bars[index]!,
    ),
  );
  const start = fixed(fuel.baseline_L_per_100km, 3);
  const end = fixed(fuel.store_L_per_100km, 3);
  const key = scale > 0 ? ` One + or - is ${Number(scale.toPrecision(1))} %.` : '';
  const notes = waterfallNotes(summary).join(' ') + key;
  return [
    paint.title(row('Saving in steps', 'L/100 km', 'saving %', 'lost without %')),
    row('  car as it is', start),
    ...steps,
    paint.strong(row('  whole saving', end, fixed(saving.vs_baseline_pct, 2))),
    ...wrap(notes, width).map(paint.faint),
    ...warningLines(waterfallCautions(waterfall), paint, width),
  ];
}

function row(words: string, ...cells: readonly string[]): string {
  const figures = FIGURES.map((size, index) => (cells[index] ?? '').padStart(size)).join('');
  return `${words.padEnd(WORDS)}${figures}${GAP}${cells[FIGURES.length] ?? ''}`.trimEnd();
}
