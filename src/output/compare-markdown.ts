import type { Comparison } from '../study/comparison.ts';
import { missedValueLines } from './compare-gates.ts';
import {
  allCasesGrid,
  CHANGE_WORDS,
  caseGrids,
  flowWords,
  type Grid,
  ledgerGrid,
  meanGrid,
  notComparedGrid,
} from './compare-grids.ts';
import {
  CaseLabels,
  countWords,
  gateCondition,
  gateOutcome,
  verdictWords,
} from './compare-words.ts';
import { printable } from './problems.ts';
import { escaped } from './section.ts';

/** Rows of each part: a comment on a pull request has room for some 60 000 characters. */
const ROWS = { means: 20, cases: 5, ledger: 30, all: 100, notCompared: 20 } as const;

/**
 * A comparison as Markdown, for a comment on a pull request: the verdict, the gates, differences and
 * the cases that moved most; all else can be unfolded.
 */
export function compareMarkdown(comparison: Comparison): string {
  const labels = new CaseLabels(comparison);
  const { notices } = comparison;
  const figures = [
    ...meanGrid(comparison, labels, ROWS.means),
    ...caseGrids(comparison, labels, ROWS.cases),
  ];
  const all = allCasesGrid(comparison, labels, ROWS.all);
  const sections = [
    `## ${escaped(verdictWords(comparison) ?? 'Comparison')}`,
    plain(`${comparison.before.source} → ${comparison.after.source}`),
    ...countWords(comparison).map(escaped),
    ...(notices.length > 0 ? [notices.map((text) => `- ${plain(text)}`).join('\n')] : []),
    ...gateSections(comparison, labels),
    ...figures.flatMap((grid) => [`### ${plain(grid.title)}`, table(grid)]),
    ...(figures.length > 0 ? [escaped(CHANGE_WORDS)] : []),
    ...notComparedGrid(comparison, labels, ROWS.notCompared).flatMap((grid) => [
      `### ${escaped(grid.title)}`,
      table(grid, false),
    ]),
    ...ledgerGrid(comparison, ROWS.ledger).map((grid) =>
      details(grid.title, [table(grid), ...flowWords(comparison).map(escaped)]),
    ),
    ...(all.rows.length > 1
      ? [details(`${all.title} (${all.rows.length + all.omitted})`, [table(all)])]
      : []),
  ];
  return `${sections.join('\n\n')}\n`;
}

/** A text of the user's that neither steers a terminal nor Markdown. */
function plain(words: string): string {
  return escaped(printable(words));
}

function gateSections({ gates }: Comparison, labels: CaseLabels): string[] {
  if (gates === null) return [];
  const rows = gates.results.map((result) =>
    row([
      result.holds ? 'holds' : '**does not hold**',
      plain(result.gate.name),
      escaped(gateCondition(result.gate)),
      escaped(gateOutcome(result, labels)),
    ]),
  );
  const worst = gates.results
    .filter(({ holds, missed }) => !holds && missed > 1)
    .map((result) =>
      details(`Worst cases of ${printable(result.gate.name)}`, [
        missedValueLines(result, labels)
          .map((line) => `- ${escaped(line.trim())}`)
          .join('\n'),
      ]),
    );
  const head = [row(['', 'gate', 'asks for', 'found']), row(['---', '---', '---', '---'])];
  return [[...head, ...rows].join('\n'), ...worst];
}

function table(grid: Grid, areFigures = true): string {
  const { names = '', headers, rows, omitted, note } = grid;
  const rule = ['---', ...headers.map(() => (areFigures ? '---:' : '---'))];
  const more = [`… ${omitted} more`, ...headers.map(() => '')];
  return [
    row([escaped(names), ...headers.map((header) => header.replace('-\n', '').replace('\n', ' '))]),
    row(rule),
    ...rows.map((cells) => row(cells.map(escaped))),
    ...(omitted > 0 ? [row(more)] : []),
    ...(note === undefined ? [] : ['', escaped(note)]),
  ].join('\n');
}

function row(cells: readonly string[]): string {
  return `| ${cells.join(' | ')} |`;
}

/** A part that is folded up; the blank lines let what is within be taken for Markdown. */
function details(summary: string, parts: readonly string[]): string {
  const safe = summary.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
  return [`<details><summary>${safe}</summary>`, ...parts, '</details>'].join('\n\n');
}
