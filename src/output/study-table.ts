import { curvePlot } from './curve-plot.ts';
import { curveName, drawnCurve, KNEE_TITLE, kneeWords } from './knee-words.ts';
import type { Paint } from './paint.ts';
import { printable } from './problems.ts';
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
import { clipped } from './study-names.ts';
import { type PlacedRow, type StudyReport, shownRows } from './study-report.ts';
import { extremeWords, headWords, noteWords } from './study-words.ts';
import { wrap } from './wrap.ts';

/** Columns of a terminal on which no line breaks, as far as names allow. */
const WIDTH = 90;
const GAP = 2;
/** Widths of the figures of a row and of its marks; what stands before them shares what is left. */
const FIGURE_WIDTHS: readonly number[] = [7, 6, 6, 8, 6, 6];
const MARKS_WIDTH = 4;
/** Of a column of the sizes of a store. */
const SIZE_WIDTH = 6;
/** No name is clipped to less. */
const NARROWEST = 8;

/**
 * A study for a terminal: one screen that leads with the best rows and goes on with what their marks
 * mean, the single cases at both ends, and where more store brings less.
 * @param report
 * @param paint emphasis for the terminal, or none
 * @returns the text, with a line end after every line
 */
export function studyTable(report: StudyReport, paint: Paint): string {
  const parts = [
    [
      ...wrap(printable(report.name), WIDTH).map(paint.title),
      ...headWords(report)
        .flatMap((words) => wrap(words, WIDTH))
        .map(paint.faint),
    ],
    rankingLines(report, paint),
    noteWords(report.ranking).flatMap((words) => hanging(words).map(paint.warning)),
    extremeWords(report.ranking).flatMap((words) => hanging(words)),
    cycleLines(report, paint),
    sizeLines(report, paint),
    kneeLines(report, paint),
  ];
  const lines = parts.filter((part) => part.length > 0).flatMap((part) => ['', ...part]);
  return lines
    .slice(1)
    .map((line) => `${line.trimEnd()}\n`)
    .join('');
}

function rankingLines({ ranking }: StudyReport, paint: Paint): string[] {
  const { best, omitted, worst } = shownRows(ranking);
  const labels = labelsOf(ranking);
  const shown = [...best, ...worst];
  const headers = figureHeaders(ranking);
  const figureWidths = [...FIGURE_WIDTHS.slice(0, headers.length), MARKS_WIDTH];
  const placeWidth = Math.max(1, ...shown.map(({ place }) => String(place).length));
  const texts = shown.map(({ row }) => labels.of(row));
  const room = WIDTH - placeWidth - figureWidths.reduce((sum, width) => sum + GAP + width, 0);
  const widths = fittedWidths(
    labels.headers.map((header, k) =>
      Math.max(header.length, ...texts.map((row) => row[k]!.length)),
    ),
    room,
  );
  const line = (place: string, cells: readonly string[], figures: readonly string[]): string => {
    const left = cells.map((cell, k) => {
      const text = clipped(cell, widths[k]!);
      return k < labels.names ? text.padEnd(widths[k]!) : text.padStart(widths[k]!);
    });
    const right = figures.map((figure, k) =>
      k === figures.length - 1 ? figure : figure.padStart(figureWidths[k]!),
    );
    return [place.padStart(placeWidth), ...left, ...right].join(' '.repeat(GAP));
  };
  const rowLine = ({ place, row }: PlacedRow) =>
    line(String(place), labels.of(row), [...figuresOf(ranking, row.fuel), marksOf(row)]);
  return [
    paint.title(line('', labels.headers, [...headers, ''])),
    ...best.map((placed, k) => (k === 0 ? paint.strong(rowLine(placed)) : rowLine(placed))),
    ...(omitted > 0 ? [paint.faint(`… ${omitted} more`)] : []),
    ...worst.map(rowLine),
    ...wrap(figureWords(ranking), WIDTH).map(paint.faint),
  ];
}

function cycleLines({ ranking }: StudyReport, paint: Paint): string[] {
  const grid = cycleGrid(ranking);
  if (grid.length === 0) return [];
  const headers = cycleHeaders(ranking);
  const figures = [headers[1]!.length, ...FIGURE_WIDTHS.slice(0, headers.length - 2)];
  const room = WIDTH - figures.reduce((sum, width) => sum + GAP + width, 0);
  const [width] = fittedWidths([Math.max(...grid.map(([name]) => name!.length), NARROWEST)], room);
  const line = ([name, ...cells]: readonly string[]) =>
    [
      clipped(name!, width!).padEnd(width!),
      ...cells.map((cell, k) => cell.padStart(figures[k]!)),
    ].join(' '.repeat(GAP));
  return [paint.title(CYCLE_TITLE), paint.title(line(headers)), ...grid.map(line)];
}

function sizeLines(report: StudyReport, paint: Paint): string[] {
  const grid = sizeGrid(report);
  if (grid === undefined) return [];
  const { headers, rows, words } = grid;
  const table = [headers, ...rows];
  const widths = headers.map((_, k) => Math.max(SIZE_WIDTH, ...table.map((row) => row[k]!.length)));
  const line = (cells: readonly string[]) =>
    cells.map((cell, k) => cell.padStart(widths[k]!)).join(' '.repeat(GAP));
  return [
    paint.title(SIZE_TITLE),
    ...(rows.length === 0 ? [] : [paint.title(line(headers)), ...rows.map(line)]),
    ...wrap(words, WIDTH).map(paint.faint),
  ];
}

/** Widths that fit into the room, if they can: the widest gives way first. */
function fittedWidths(wanted: readonly number[], room: number): readonly number[] {
  const widths = [...wanted];
  const taken = () => widths.reduce((sum, width) => sum + width + GAP, 0);
  while (taken() > room) {
    const widest = Math.max(...widths);
    if (widest <= NARROWEST) break;
    widths[widths.lastIndexOf(widest)] = widest - 1;
  }
  return widths;
}

function kneeLines(report: StudyReport, paint: Paint): string[] {
  const words = kneeWords(report);
  if (words.length === 0) return [];
  const drawn = drawnCurve(report);
  const plot =
    drawn === undefined
      ? []
      : ['', `saving, %, over ${curveName(report.ranking, drawn)}`, ...curvePlot(drawn)];
  return [paint.title(KNEE_TITLE), ...words.flatMap((text) => hanging(text)), ...plot];
}

/** A sentence whose further lines are set in. */
function hanging(words: string): string[] {
  const indent = /^ */.exec(words)![0];
  const lines = wrap(words.trimStart(), WIDTH - indent.length - 2);
  return lines.map((line, k) => indent + (k === 0 ? line : `  ${line}`));
}
