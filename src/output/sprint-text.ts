import { fixed } from '../summary/numbers.ts';
import type { SprintSummary } from '../summary/sprint-summary.ts';
import { CAUTIONS } from './cautions.ts';
import type { Paint } from './paint.ts';
import { printable } from './problems.ts';
import { escaped, sectionLines, sectionMarkdown } from './section.ts';
import { sprintLedgerSection, sprintSections, sprintSheets } from './sprint-sections.ts';
import { wrap } from './wrap.ts';

/** Columns of a terminal on which no line breaks. */
const WIDTH = 80;
/** Of these the words of a row take so many, beside four columns of figures. */
const WORDS = 32;

/**
 * A sprint for a terminal of 80 columns.
 * @param summary
 * @param paint emphasis for the terminal, or none
 * @returns the text, with a line end after every line
 */
export function sprintTable(summary: SprintSummary, paint: Paint): string {
  const head = [
    ...wrap(printable(titleOf(summary)), WIDTH).map((text) => paint.title(text)),
    ...wrap(conditionWords(summary), WIDTH).map((text) => paint.faint(text)),
    paint.faint(signature(summary)),
  ];
  const sections = sprintSections(summary).map((section) => sectionLines(section, paint, WORDS));
  const missing = missingWords(summary).flatMap((text) => {
    const [first, ...rest] = wrap(text, WIDTH, '  ');
    return [`! ${first?.trimStart() ?? ''}`, ...rest].map((line) => paint.warning(line));
  });
  const parts = [head, ...sections, ...(missing.length > 0 ? [missing] : [])];
  return parts.map((lines) => lines.map((line) => `${line}\n`).join('')).join('\n');
}

/** The same as Markdown, with the ledger of the standing starts and the cautions. */
export function sprintMarkdown(summary: SprintSummary): string {
  const list = (sentences: readonly string[]) =>
    sentences.map((sentence) => `- ${escaped(sentence)}`).join('\n');
  const missing = missingWords(summary);
  const parts = [
    `## ${escaped(printable(titleOf(summary)))}`,
    `${escaped(conditionWords(summary))} ${escaped(signature(summary))}.`,
    ...[...sprintSections(summary), sprintLedgerSection(summary)].map(sectionMarkdown),
    ...(missing.length > 0 ? ['### Not reached', list(missing)] : []),
    '### Cautions',
    list(CAUTIONS),
  ];
  return `${parts.join('\n\n')}\n`;
}

function titleOf({ case: { car, store } }: SprintSummary): string {
  return `${car} at full load, without and with ${store}`;
}

function signature({ case: { hash }, tool }: SprintSummary): string {
  return `${tool}, case ${hash}`;
}

function conditionWords({ conditions }: SprintSummary): string {
  const driven =
    conditions.driven_axle === 'both' ? 'both axles' : `${conditions.driven_axle} axle`;
  const road =
    conditions.grade_pct === 0
      ? 'On the flat'
      : `On a grade of ${fixed(conditions.grade_pct, 1)} %`;
  return `${road}, tyres of adhesion ${conditions.tyre_adhesion}; engine on the ${driven}, store on the ${conditions.store_axle} axle; ${conditions.shift_time_s} s without pull in each change of gear.`;
}

const FILLS = ['no store', 'empty', 'half', 'full'];

/** What was not reached, with the columns that it is missing in. */
function missingWords(summary: SprintSummary): string[] {
  const where = new Map<string, string[]>();
  for (const [i, sheet] of sprintSheets(summary).entries()) {
    for (const text of sheet.not_reached) {
      where.set(text, [...(where.get(text) ?? []), FILLS[i]!]);
    }
  }
  return [...where].map(([text, fills]) => `${text} (${fills.join(', ')})`);
}
