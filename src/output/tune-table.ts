import type { TuneReport } from '../tune/report.ts';
import { CAUTIONS } from './cautions.ts';
import type { Paint } from './paint.ts';
import { printable } from './problems.ts';
import { escaped, sectionLines, sectionMarkdown } from './section.ts';
import { tuneSections } from './tune-sections.ts';
import { gainWords, headWords, namesOf, warningWords } from './tune-words.ts';
import { wrap } from './wrap.ts';

/** Columns of a terminal on which no line breaks. */
const WIDTH = 80;
/** Of these the words of a row take so many, so that four figures stand to the right of them. */
const WORDS = 32;
/** What stands around a name in these. */
const ROOM = 4;

/**
 * A tune for a terminal.
 * @param report
 * @param paint emphasis for the terminal, or none
 * @returns the text, with a line end after every line
 */
export function tuneTable(report: TuneReport, paint: Paint): string {
  // A path that is longer goes before the width of the screen.
  const words = Math.max(WORDS, ...namesOf(report.numbers).map((name) => name.length + ROOM));
  const parts = [
    [
      ...wrap(printable(report.tune), WIDTH).map(paint.title),
      ...headWords(report)
        .flatMap((sentence) => wrap(sentence, WIDTH))
        .map(paint.faint),
    ],
    gainWords(report)
      .flatMap((sentence) => wrap(sentence, WIDTH))
      .map(paint.strong),
    warningWords(report).flatMap((sentence) =>
      wrap(sentence, WIDTH - 2).map((line, k) => paint.warning(`${k === 0 ? '! ' : '  '}${line}`)),
    ),
    ...tuneSections(report).map((section) => sectionLines(section, paint, words)),
  ];
  const lines = parts.filter((part) => part.length > 0).flatMap((part) => ['', ...part]);
  return lines
    .slice(1)
    .map((line) => `${line.trimEnd()}\n`)
    .join('');
}

/** A tune as Markdown, for a pull request or a report: what `tuneTable` shows. */
export function tuneMarkdown(report: TuneReport): string {
  const warnings = warningWords(report);
  const list = (sentences: readonly string[]) =>
    sentences.map((sentence) => `- ${escaped(sentence)}`).join('\n');
  const sections = [
    `## ${escaped(printable(report.tune))}`,
    ...headWords(report).map(escaped),
    ...gainWords(report).map((words) => `**${escaped(words)}**`),
    ...(warnings.length > 0 ? [list(warnings)] : []),
    ...tuneSections(report).map(sectionMarkdown),
    '### Cautions',
    list(CAUTIONS),
  ];
  return `${sections.join('\n\n')}\n`;
}
