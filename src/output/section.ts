import { DefectError } from '../config/problem.ts';
import type { Paint } from './paint.ts';
import { wrap } from './wrap.ts';

/** A titled table of figures, before it is printed in one form or another. */
export interface Section {
  readonly title: string;
  /** Headers of the columns of figures; an empty one where the words of a row say all. */
  readonly columns: readonly string[];
  /** Words of each row, with the unit, and its figures. */
  readonly rows: readonly SectionRow[];
  /** Sentences below it. */
  readonly notes?: readonly string[];
}

/** A row: its words, and a figure for each column. */
export type SectionRow = readonly [words: string, ...figures: string[]];

/** Columns of a terminal on which no line breaks. */
const WIDTH = 80;
/** Of these the words take so many; figures stand to the right of them. */
const WORDS = 44;
const FIGURE = 12;

/**
 * A section for a terminal: its title and the headers in one line, then a line a row.
 *
 * @param section
 * @param paint emphasis for the terminal, or none
 * @param words columns that the words of a row take
 * @returns lines, without line ends
 */
export function sectionLines(section: Section, paint: Paint, words: number = WORDS): string[] {
  const { title, columns, rows, notes = [] } = section;
  const line = (text: string, figures: readonly string[]) => figureLine(text, figures, words);
  for (const [text, ...figures] of rows) {
    if (figures.length !== columns.length) throw new DefectError(`\`${text}\` has no row`);
  }
  return [
    paint.title(line(title, columns)),
    ...rows.map(([text, ...figures]) => line(`  ${text}`, figures)),
    ...notes.flatMap((note) => wrap(note, WIDTH)).map((text) => paint.faint(text)),
  ];
}

function figureLine(text: string, figures: readonly string[], words: number): string {
  const cells = figures.map((figure) => figure.padStart(FIGURE));
  return `${text.padEnd(words)}${cells.join('')}`.trimEnd();
}

/** A section as Markdown: a heading, a table, its notes. */
export function sectionMarkdown({ title, columns, rows, notes = [] }: Section): string {
  const row = (cells: readonly string[]): string => `| ${cells.map(escaped).join(' | ')} |`;
  const rule = `| --- |${' ---: |'.repeat(columns.length)}`;
  const table = [row(['', ...columns]), rule, ...rows.map(row)].join('\n');
  return [`### ${escaped(title)}`, table, ...notes.map(escaped)].join('\n\n');
}

/** Text that Markdown takes for text. */
export function escaped(text: string): string {
  return text.replace(/[\\|`*_~&<>[\]]/g, '\\$&');
}
