import { KMH } from '../config/units.ts';
import type { Trace } from '../cycle/trace.ts';
import { fixed } from '../summary/numbers.ts';
import { heightsOf } from './cycle-heights.ts';

/** Columns and rows of a plot, without its axes. */
const COLUMNS = 72;
const SPEED_ROWS = 12;
const ALTITUDE_ROWS = 4;
/** Room for the numbers of the upright axis. */
const GUTTER = 6;
/** Less than this between lowest and highest point is no hill worth a picture [m]. */
const HILLY = 5;

/** Always there in a stretch of time, and there at times. */
const FULL = '█';
const PARTLY = '░';

/**
 * A drive as a picture of text: speed over time, and below it altitude if there are hills. A column
 * is a stretch of time: solid up to the lowest value within it, shaded up to the highest.
 *
 * @param trace the drive
 * @returns lines, without line ends
 */
export function cyclePlot(trace: Trace): string[] {
  const speed = trace.speed.map((value) => value / KMH);
  const heights = heightsOf(trace);
  const lowest = heights.reduce((low, height) => Math.min(low, height), 0);
  const above = heights.map((height) => height - lowest);
  const range = above.reduce((high, height) => Math.max(high, height), 0);
  return [
    'speed, km/h',
    ...picture(trace.time, speed, SPEED_ROWS),
    timeAxis(trace.time),
    ...(range < HILLY
      ? []
      : [
          'altitude above the lowest point, m',
          ...picture(trace.time, above, ALTITUDE_ROWS),
          timeAxis(trace.time),
        ]),
  ];
}

/** Values from 0 upward, linear in time between the samples, as rows from the top. */
function picture(time: Float64Array, values: Float64Array, rows: number): string[] {
  const top = values.reduce((high, value) => Math.max(high, value), 0);
  const stretches = stretchesOf(time, values);
  return Array.from({ length: rows }, (_, row) => {
    // A cell is filled if its middle is reached.
    const level = (top * (rows - row - 0.5)) / rows;
    const cells = stretches.map(({ low, high }) => {
      if (low >= level) return FULL;
      return high >= level ? PARTLY : ' ';
    });
    const label = row === 0 ? fixed(top, 0) : '';
    return `${label.padStart(GUTTER - 1)} │${cells.join('')}`.trimEnd();
  });
}

function timeAxis(time: Float64Array): string {
  const start = fixed(time[0]!, 0);
  const end = `${fixed(time[time.length - 1]!, 0)} s`;
  const dashes = '─'.repeat(COLUMNS - start.length - end.length - 2);
  return `${'0'.padStart(GUTTER - 1)} └${start} ${dashes} ${end}`;
}

/** Lowest and highest value within each column's stretch of time. */
function stretchesOf(time: Float64Array, values: Float64Array): { low: number; high: number }[] {
  const start = time[0]!;
  const duration = time[time.length - 1]! - start;
  let k = 0;
  let from = values[0]!;
  return Array.from({ length: COLUMNS }, (_, column) => {
    const end = start + (duration * (column + 1)) / COLUMNS;
    let low = from;
    let high = from;
    while (k + 2 < time.length && time[k + 1]! <= end) {
      k++;
      low = Math.min(low, values[k]!);
      high = Math.max(high, values[k]!);
    }
    const share = Math.min(1, (end - time[k]!) / (time[k + 1]! - time[k]!));
    from = values[k]! + share * (values[k + 1]! - values[k]!);
    return { low: Math.min(low, from), high: Math.max(high, from) };
  });
}
