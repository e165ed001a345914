import type { Trace } from '../cycle/trace.ts';
import { fixed } from '../summary/numbers.ts';
import { cyclePlot } from './cycle-plot.ts';
import { cycleSections } from './cycle-sections.ts';
import type { CycleSheet } from './cycle-sheet.ts';
import type { Paint } from './paint.ts';
import { printable } from './problems.ts';
import { escaped, sectionLines, sectionMarkdown } from './section.ts';
import { wrap } from './wrap.ts';

/** Columns of a terminal on which no line breaks. */
const WIDTH = 80;

/**
 * The figures of a drive cycle for a terminal of 80 columns, under a picture of its speeds.
 *
 * @param sheet the figures
 * @param trace the drive they are of
 * @param paint emphasis for the terminal, or none
 * @returns the text, with a line end after every line
 */
export function cycleTable(sheet: CycleSheet, trace: Trace, paint: Paint): string {
  const head = [
    ...wrap(printable(sheet.cycle.name), WIDTH).map((text) => paint.title(text)),
    paint.faint(inShort(sheet)),
  ];
  const sections = cycleSections(sheet).map((section) => sectionLines(section, paint));
  const lines = [head, cyclePlot(trace), ...sections].flatMap((part) => [...part, '']);
  return lines
    .slice(0, -1)
    .map((line) => `${line}\n`)
    .join('');
}

/** The same as Markdown, for a report or a pull request. */
export function cycleMarkdown(sheet: CycleSheet, trace: Trace): string {
  const parts = [
    `## ${escaped(printable(sheet.cycle.name))}`,
    `${inShort(sheet)}.`,
    ['```', ...cyclePlot(trace), '```'].join('\n'),
    ...cycleSections(sheet).map(sectionMarkdown),
  ];
  return `${parts.join('\n\n')}\n`;
}

function inShort({ cycle, tool }: CycleSheet): string {
  return `${fixed(cycle.distance_km, 3)} km in ${fixed(cycle.duration_s, 1)} s; ${tool}`;
}
