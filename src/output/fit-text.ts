import type { Cell } from '../summary/flat.ts';
import { csvCell } from './csv-cell.ts';
import { type CsvDialect, PLAIN_DIALECT } from './csv-dialect.ts';
import type { Paint } from './paint.ts';
import { printable } from './problems.ts';
import { escaped, type Section, sectionLines, sectionMarkdown } from './section.ts';
import { warningLines } from './warning-lines.ts';
import { wrap } from './wrap.ts';

/** What a fit has to say, before it is printed in one form or another. */
export interface FitText {
  readonly title: string;
  /** Below the title, in small print */
  readonly about: readonly string[];
  readonly sections: readonly Section[];
  /** Grids of figures that need more columns than a section has */
  readonly grids?: readonly Grid[];
  /** What may be pasted into a file */
  readonly paste?: { readonly title: string; readonly keys: object };
  readonly warnings: readonly string[];
  readonly cautions: readonly string[];
}

/** A table of many narrow columns. */
export interface Grid {
  readonly title: string;
  /** Header of the first column, then of the others */
  readonly headers: readonly string[];
  readonly rows: readonly (readonly string[])[];
  readonly notes: readonly string[];
}

/** Columns of a terminal on which no line breaks. */
const WIDTH = 80;
/** Width of the first column of a grid, and least width of the others. */
const FIRST = 16;
const NARROW = 8;
/** Characters that are gathered before they are written. */
const CHUNK = 1 << 16;

/** A fit for a terminal of 80 columns; the cautions are for standard error. */
export function fitTable(text: FitText, paint: Paint): string {
  const { title, about, sections, grids = [], paste, warnings } = text;
  const parts = [
    [
      ...wrap(printable(title), WIDTH).map(paint.title),
      ...about.flatMap((line) => wrap(printable(line), WIDTH)).map(paint.faint),
    ],
    ...sections.map((section) => sectionLines(plainSection(section), paint)),
    ...grids.map((grid) => gridLines(grid, paint)),
    ...(paste === undefined
      ? []
      : [[paint.title(paste.title), ...pasteText(paste.keys).map(paint.strong)]]),
    ...(warnings.length === 0 ? [] : [warningLines(warnings.map(printable), paint, WIDTH)]),
  ];
  return parts
    .flatMap((part, k) => (k === 0 ? part : ['', ...part]))
    .map((line) => `${line.trimEnd()}\n`)
    .join('');
}

/** The same as Markdown, for a report or a pull request. */
export function fitMarkdown(text: FitText): string {
  const { title, about, sections, grids = [], paste, warnings, cautions } = text;
  const list = (lines: readonly string[]) =>
    lines.map((line) => `- ${escaped(printable(line))}`).join('\n');
  const parts = [
    `## ${escaped(printable(title))}`,
    ...about.map((line) => escaped(printable(line))),
    ...sections.map((section) => sectionMarkdown(plainSection(section))),
    ...grids.map(gridMarkdown),
    ...(paste === undefined
      ? []
      : [`### ${escaped(paste.title)}`, ['```json', ...pasteText(paste.keys), '```'].join('\n')]),
    ...(warnings.length === 0 ? [] : ['### Warnings', list(warnings)]),
    '### Cautions',
    list(cautions),
  ];
  return `${parts.join('\n\n')}\n`;
}

/** Names of runs and files may hold anything. */
function plainSection(section: Section): Section {
  return {
    ...section,
    rows: section.rows.map(([words, ...figures]) => [printable(words), ...figures]),
    notes: (section.notes ?? []).map(printable),
  };
}

/** The keys of an object as they stand in a file, without the braces around them. */
function pasteText(keys: object): string[] {
  return JSON.stringify(keys, null, 2).split('\n').slice(1, -1);
}

function gridLines({ title, headers, rows, notes }: Grid, paint: Paint): string[] {
  const width = Math.max(NARROW, ...[headers, ...rows].flatMap((row) => row.slice(1)).map(room));
  const line = ([first = '', ...rest]: readonly string[]) =>
    `  ${first.padEnd(FIRST - 2)}${rest.map((cell) => cell.padStart(width)).join('')}`;
  return [
    paint.title(title),
    paint.title(line(headers)),
    ...rows.map(line),
    ...notes.flatMap((note) => wrap(note, WIDTH)).map(paint.faint),
  ];
}

function room(cell: string): number {
  return cell.length + 1;
}

function gridMarkdown({ title, headers, rows, notes }: Grid): string {
  const row = (cells: readonly string[]) => `| ${cells.map(escaped).join(' | ')} |`;
  const rule = `| --- |${' ---: |'.repeat(headers.length - 1)}`;
  const table = [row(headers), rule, ...rows.map(row)].join('\n');
  return [`### ${escaped(title)}`, table, ...notes.map(escaped)].join('\n\n');
}

/** Rows of residuals, as many as there were samples. */
export interface ResidualRows {
  readonly headers: readonly string[];
  readonly rows: Iterable<readonly Cell[]>;
}

/**
 * Writes residuals as CSV, piece by piece.
 * @param residuals
 * @param write takes the next piece of text
 * @param dialect
 */
export function writeResiduals(
  { headers, rows }: ResidualRows,
  write: (text: string) => void,
  dialect: CsvDialect = PLAIN_DIALECT,
): void {
  let text = `${headers.join(dialect.delimiter)}\n`;
  for (const row of rows) {
    text += `${row.map((cell) => csvCell(cell, dialect)).join(dialect.delimiter)}\n`;
    if (text.length < CHUNK) continue;
    write(text);
    text = '';
  }
  write(text);
}
