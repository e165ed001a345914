import type { Curve } from '../study/curves.ts';
import { fixed } from '../summary/numbers.ts';
import { valueText } from './study-names.ts';

/** Columns and rows of a plot, without its axes. */
const COLUMNS = 60;
const ROWS = 8;
/** Room for the numbers of the upright axis. */
const GUTTER = 7;

const POINT = '•';
const KNEE = '◆';

/**
 * The saving over one number as a picture of text, with the knee marked; both axes are even.
 * @param curve with two points or more
 * @returns lines, without line ends
 */
export function curvePlot({ points, knee }: Curve): string[] {
  const savings = points.map(({ saving_pct }) => saving_pct);
  const high = savings.reduce((most, saving) => Math.max(most, saving));
  const low = savings.reduce((least, saving) => Math.min(least, saving));
  const first = points[0]!.value;
  const last = points[points.length - 1]!.value;
  const cells = Array.from({ length: ROWS }, () => Array<string>(COLUMNS).fill(' '));
  const mark = knee.kind === 'none' ? undefined : knee.at;
  // The marked point last, so that no other hides it.
  for (const point of mark === undefined ? points : [...points, mark]) {
    const column = Math.round(((COLUMNS - 1) * (point.value - first)) / (last - first));
    const row = Math.round(((ROWS - 1) * (high - point.saving_pct)) / (high - low || 1));
    cells[row]![column] = point === mark ? KNEE : POINT;
  }
  const rows = cells.map((row, k) => {
    const label = k === 0 ? fixed(high, 2) : k === ROWS - 1 ? fixed(low, 2) : '';
    return `${label.padStart(GUTTER)} │${row.join('')}`.trimEnd();
  });
  const [start, end] = [valueText(first), valueText(last)];
  const dashes = '─'.repeat(Math.max(1, COLUMNS - start.length - end.length - 2));
  return [...rows, `${' '.repeat(GUTTER)} └${start} ${dashes} ${end}`];
}
