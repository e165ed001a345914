import type { Comparison } from '../study/comparison.ts';
import {
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
  gatesHold,
  verdictWords,
} from './compare-words.ts';
import type { Paint } from './paint.ts';
import { printable } from './problems.ts';
import { clipped } from './study-names.ts';
import { wrap } from './wrap.ts';

/** Columns of a terminal on which no line breaks. */
const WIDTH = 90;
/** Least width of a column of figures, the blanks before it with it. */
const FIGURE = 8;
/** What stands below the verdict on a gate. */
const INDENT = ' '.repeat(7);
/** Rows of each part, so that a usual study stays on one screen. */
const ROWS = { means: 6, cases: 5, ledger: 6, notCompared: 5 } as const;

/**
 * A comparison for a terminal: the verdict, then means, what got worse and better, and what moved in
 * the ledger, on about one screen.
 * @param comparison
 * @param paint emphasis for the terminal, or none
 * @returns the text, with a line end after every line
 */
export function compareTable(comparison: Comparison, paint: Paint): string {
  const labels = new CaseLabels(comparison);
  // A table under headers that stand above it already does without its own.
  const figures = [
    ...meanGrid(comparison, labels, ROWS.means),
    ...caseGrids(comparison, labels, ROWS.cases),
  ];
  const parts = [
    headLines(comparison, paint),
    gateLines(comparison, labels, paint),
    ...figures.map((grid, k) => gridLines(grid, paint, grid.names !== figures[k - 1]?.names)),
    figures.length === 0 ? [] : wrap(CHANGE_WORDS, WIDTH).map(paint.faint),
    ...ledgerGrid(comparison, ROWS.ledger).map((grid) => [
      ...gridLines(grid, paint),
      ...flowWords(comparison).flatMap((words) => wrap(words, WIDTH)),
    ]),
    ...notComparedGrid(comparison, labels, ROWS.notCompared).map((grid) => wordLines(grid, paint)),
  ];
  const lines = parts.filter((part) => part.length > 0).flatMap((part) => ['', ...part]);
  return lines
    .slice(1)
    .map((line) => `${line.trimEnd()}\n`)
    .join('');
}

function headLines(comparison: Comparison, paint: Paint): string[] {
  const { before, after } = comparison;
  const verdict = verdictWords(comparison);
  const emphasis = gatesHold(comparison) === false ? paint.warning : paint.strong;
  return [
    ...wrap(printable(`${before.source} → ${after.source}`), WIDTH).map(paint.title),
    ...(verdict === undefined ? [] : wrap(verdict, WIDTH).map(emphasis)),
    ...countWords(comparison).flatMap((words) => wrap(words, WIDTH)),
  ];
}

function gateLines({ gates }: Comparison, labels: CaseLabels, paint: Paint): string[] {
  return (gates?.results ?? []).flatMap((result) => {
    const { holds, gate } = result;
    const words = [
      ...wrap(`${holds ? 'holds ' : 'FAILS '} ${printable(gate.name)}`, WIDTH),
      ...wrap(`asks  ${gateCondition(gate)}`, WIDTH, INDENT),
      ...wrap(
        `${result.why === null ? 'found' : 'but  '} ${gateOutcome(result, labels)}`,
        WIDTH,
        INDENT,
      ),
    ];
    return holds ? words : words.map(paint.warning);
  });
}

function gridLines(grid: Grid, paint: Paint, hasHeaders = true): string[] {
  const { title, names = '', headers, rows, omitted, note } = grid;
  const parted = headers.map((header) => header.split('\n'));
  const widths = parted.map((parts) => Math.max(FIGURE, ...parts.map((part) => part.length + 1)));
  const room = WIDTH - widths.reduce((sum, width) => sum + width, 0);
  const line = (label: string, cells: readonly string[]): string => {
    const figures = cells.map((cell, k) => cell.padStart(widths[k] ?? FIGURE));
    return clipped(label, room - 1).padEnd(room) + figures.join('');
  };
  const [upper, lower] = [0, 1].map((k) => parted.map((parts) => parts[k] ?? ''));
  const isLong = title.length >= room;
  const hasTwo = parted.some((parts) => parts.length > 1);
  const headLines = [
    ...(isLong ? wrap(title, WIDTH) : []),
    ...(hasHeaders ? [line(isLong ? '' : title, upper!)] : []),
    ...(!hasHeaders && !isLong ? [title] : []),
    ...(hasHeaders && hasTwo ? [line(`  ${names}`, lower!)] : []),
  ];
  return [
    ...headLines.map((text) => paint.title(text.trimEnd())),
    ...rows.map(([label, ...cells]) => line(`  ${label}`, cells)),
    ...moreLines(omitted, paint),
    ...(note === undefined ? [] : wrap(note, WIDTH).map(paint.faint)),
  ];
}

function wordLines({ title, rows, omitted }: Grid, paint: Paint): string[] {
  return [
    paint.title(title),
    ...rows.flatMap(([label, ...words]) =>
      wrap(`${label}: ${words.join(' ')}`, WIDTH - 2).map(
        (line, k) => `${k === 0 ? '  ' : '    '}${line}`,
      ),
    ),
    ...moreLines(omitted, paint),
  ];
}

function moreLines(omitted: number, paint: Paint): string[] {
  return omitted > 0 ? [paint.faint(`  … ${omitted} more`)] : [];
}
