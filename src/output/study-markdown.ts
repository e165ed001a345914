import { CAUTIONS } from './cautions.ts';
import { curvePlot } from './curve-plot.ts';
import { curveName, drawnCurve, KNEE_TITLE, kneeWords } from './knee-words.ts';
import { printable } from './problems.ts';
import { escaped } from './section.ts';
import { SIZE_TITLE, sizeGrid } from './size-grid.ts';
import {
  CYCLE_TITLE,
  cycleGrid,
  cycleHeaders,
  figureHeaders,
  figuresOf,
  figureWords,
  labelsOf,
  marksOf,
} from './study-labels.ts';
import { type PlacedRow, type StudyReport, shownRows } from './study-report.ts';
import { extremeWords, headWords, noteWords } from './study-words.ts';

/** A study as Markdown, for a pull request or a report: what `studyTable` shows, names in full. */
export function studyMarkdown(report: StudyReport): string {
  const { ranking } = report;
  const notes = [...noteWords(ranking), ...extremeWords(ranking)];
  const knees = kneeWords(report);
  const sections = [
    `## ${escaped(printable(report.name))}`,
    ...headWords(report).map(escaped),
    rankingTable(report),
    figureWords(ranking),
    ...(notes.length > 0 ? [list(notes)] : []),
    ...cycleTable(report),
    ...sizeTable(report),
    ...(knees.length > 0 ? [`### ${KNEE_TITLE}`, list(knees), ...plot(report)] : []),
    '### Cautions',
    list(CAUTIONS),
  ];
  return `${sections.join('\n\n')}\n`;
}

function rankingTable({ ranking }: StudyReport): string {
  const { best, omitted, worst } = shownRows(ranking);
  const labels = labelsOf(ranking);
  const rowLine = ({ place, row }: PlacedRow) =>
    line([String(place), ...labels.of(row), ...figuresOf(ranking, row.fuel), marksOf(row)]);
  const headers = ['', ...labels.headers, ...figureHeaders(ranking), ''];
  const rule = headers.map((_, k) => (k > 0 && k <= labels.names ? '---' : '---:'));
  const gap = ['…', `${omitted} more`, ...headers.slice(2).map(() => '')];
  return [
    line(headers),
    line(rule),
    ...best.map(rowLine),
    ...(omitted > 0 ? [line(gap)] : []),
    ...worst.map(rowLine),
  ].join('\n');
}

function line(cells: readonly string[]): string {
  return `| ${cells.map(escaped).join(' | ')} |`;
}

function cycleTable({ ranking }: StudyReport): string[] {
  const grid = cycleGrid(ranking);
  if (grid.length === 0) return [];
  const headers = cycleHeaders(ranking);
  const rule = headers.map((_, k) => (k === 0 ? '---' : '---:'));
  const table = [line(headers), line(rule), ...grid.map(line)].join('\n');
  return [`### ${CYCLE_TITLE}`, table];
}

function sizeTable(report: StudyReport): string[] {
  const grid = sizeGrid(report);
  if (grid === undefined) return [];
  const { headers, rows, words } = grid;
  const rule = headers.map(() => '---:');
  const table =
    rows.length === 0 ? [] : [[line(headers), line(rule), ...rows.map(line)].join('\n')];
  return [`### ${SIZE_TITLE}`, ...table, escaped(words)];
}

function plot(report: StudyReport): string[] {
  const drawn = drawnCurve(report);
  if (drawn === undefined) return [];
  const title = `Saving, %, over ${curveName(report.ranking, drawn)}:`;
  return [escaped(title), ['```', ...curvePlot(drawn), '```'].join('\n')];
}

function list(sentences: readonly string[]): string {
  return sentences.map((sentence) => `- ${escaped(sentence.trim())}`).join('\n');
}
