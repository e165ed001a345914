import type { BoundedSummary } from '../optimum/bound-summary.ts';
import { flatSummary } from '../summary/flat.ts';
import { fixed } from '../summary/numbers.ts';
import { boundSection, lossSection } from './bound-sections.ts';
import { CAUTIONS } from './cautions.ts';
import type { CsvDialect } from './csv-dialect.ts';
import type { Paint } from './paint.ts';
import { recordsCsv } from './records-csv.ts';
import { escaped, sectionLines, sectionMarkdown } from './section.ts';
import { wrap } from './wrap.ts';

const WIDTH = 80;

function titleOf({ case: names, bound }: BoundedSummary): string {
  const strategy = bound.losses === undefined ? '' : `, strategy ${names.strategy}`;
  return `${names.car} with ${names.store}${strategy}, on ${names.cycle}`;
}

function signature({ cycle, tool, case: names }: BoundedSummary): string {
  return `${fixed(cycle.distance_km, 2)} km in ${fixed(cycle.duration_s, 0)} s; ${tool}, case ${names.hash}`;
}

/** The sections of a bound for a terminal, each after a blank line. */
export function boundLines(summary: BoundedSummary, paint: Paint): string {
  const loss = lossSection(summary);
  const sections = [boundSection(summary), ...(loss === undefined ? [] : [loss])];
  return sections.map((section) => `\n${sectionLines(section, paint).join('\n')}\n`).join('');
}

/** A bound for a terminal. */
export function boundTable(summary: BoundedSummary, paint: Paint): string {
  const title = [
    ...wrap(titleOf(summary), WIDTH).map(paint.title),
    ...wrap(signature(summary), WIDTH).map(paint.faint),
  ];
  return `${title.join('\n')}\n${boundLines(summary, paint)}`;
}

/** The sections of a bound as Markdown. */
export function boundSectionsMarkdown(summary: BoundedSummary): string {
  const loss = lossSection(summary);
  const sections = [boundSection(summary), ...(loss === undefined ? [] : [loss])];
  return `${sections.map(sectionMarkdown).join('\n\n')}\n`;
}

/** A bound as Markdown. */
export function boundMarkdown(summary: BoundedSummary): string {
  const cautions = CAUTIONS.map((caution) => `- ${escaped(caution)}`).join('\n');
  return `## ${escaped(titleOf(summary))}\n\n${escaped(signature(summary))}\n\n${boundSectionsMarkdown(summary)}\n### Cautions\n\n${cautions}\n`;
}

/** A bound as CSV: the row of its summary, then its own columns; the stretches are left out. */
export function boundCsv(summary: BoundedSummary, dialect?: CsvDialect): string {
  const { losses: _, ...bound } = summary.bound;
  return recordsCsv([flatSummary({ ...summary, bound } as BoundedSummary)], dialect);
}
