import type { BoundCurve, Curve } from '../study/curves.ts';
import { fixed } from '../summary/numbers.ts';
import { valueText } from './study-names.ts';

/** Columns and rows of a plot, without its axes. */
const COLUMNS = 60;
const ROWS = 8;
/** Rows for two curves, which may lie far apart. */
const ROWS_OF_TWO = 12;
/** Room for the numbers of the upright axis. */
const GUTTER = 7;

const OWN = { point: '•', knee: '◆' } as const;
const BOUND = { point: '○', knee: '◇' } as const;
/** Below a picture with both. */
const LEGEND = `${OWN.point} the strategy (${OWN.knee} its knee), ${BOUND.point} any strategy at its best (${BOUND.knee})`;

/**
 * The saving over one number as a picture of text, with the knee marked, and beside it what the best
 * strategy could save, if that is known; both axes are even.
 * @param curve with two points or more
 * @returns lines, without line ends
 */
export function curvePlot({ points: own, knee, bound }: Curve): string[] {
  const points = [...(bound?.points ?? []), ...own];
  const savings = points.map(({ saving_pct }) => saving_pct);
  const high = savings.reduce((most, saving) => Math.max(most, saving));
  const low = savings.reduce((least, saving) => Math.min(least, saving));
  const first = own[0]!.value;
  const last = own[own.length - 1]!.value;
  const height = bound === null ? ROWS : ROWS_OF_TWO;
  const cells = Array.from({ length: height }, () => Array<string>(COLUMNS).fill(' '));
  const draw = (curve: BoundCurve, marks: typeof OWN | typeof BOUND) => {
    const mark = curve.knee.kind === 'none' ? undefined : curve.knee.at;
    // The marked point last, so that no other hides it.
    for (const point of mark === undefined ? curve.points : [...curve.points, mark]) {
      const column = Math.round(((COLUMNS - 1) * (point.value - first)) / (last - first));
      const row = Math.round(((height - 1) * (high - point.saving_pct)) / (high - low || 1));
      cells[row]![column] = point === mark ? marks.knee : marks.point;
    }
  };
  if (bound !== null) draw(bound, BOUND);
  draw({ points: own, knee }, OWN);
  const rows = cells.map((row, k) => {
    const label = k === 0 ? fixed(high, 2) : k === height - 1 ? fixed(low, 2) : '';
    return `${label.padStart(GUTTER)} │${row.join('')}`.trimEnd();
  });
  const [start, end] = [valueText(first), valueText(last)];
  const dashes = '─'.repeat(Math.max(1, COLUMNS - start.length - end.length - 2));
  const axis = `${' '.repeat(GUTTER)} └${start} ${dashes} ${end}`;
  return [...rows, axis, ...(bound === null ? [] : [' '.repeat(GUTTER + 2) + LEGEND])];
}
