/** How one signal lags behind another. */
export interface TimeShift {
  /** [s]; positive where the measured signal is later */
  readonly shift: number;
  /** Correlation of the two there */
  readonly correlation: number;
  /** Whether the best shift is the farthest that was looked at, so that a better one may lie beyond */
  readonly atEdge: boolean;
}

/** Fewer common samples tell no correlation. */
const LEAST_COMMON = 20;
/** Even steps are no finer than this share of what is looked at, so that a long log takes no age. */
const MOST_STEPS = 2000;

/**
 * Finds the shift between a measured signal and a simulated one as the lag of their highest
 * correlation, between steps by the parabola through its neighbours.
 *
 * @param time of the measured samples [s], rising
 * @param measured NaN where there is no value
 * @param simulated at any time [s]
 * @param length the simulated signal is known from 0 to here [s]
 * @param window farthest shift either way [s]
 * @param step of the lags [s]
 * @returns undefined where one of the two does not change, or too little is common
 */
export function timeShift(
  time: Float64Array,
  measured: Float64Array,
  simulated: (time: number) => number,
  length: number,
  window: number,
  step: number,
): TimeShift | undefined {
  const even = Math.max(step, (2 * window) / MOST_STEPS);
  const lags = Math.max(1, Math.round(window / even));
  const count = Math.floor(length / even) + 1;
  const model = Float64Array.from({ length: count }, (_, k) => simulated(k * even));
  const values = onGrid(time, measured, -lags * even, even, count + 2 * lags);
  const found = Array.from({ length: 2 * lags + 1 }, (_, k) => correlation(values, model, k));
  let best = -1;
  for (const [k, value] of found.entries()) {
    if (!Number.isNaN(value) && (best < 0 || value > found[best]!)) best = k;
  }
  if (best < 0) return undefined;
  const atEdge = best === 0 || best === 2 * lags;
  const bend = atEdge ? 0 : vertex(found[best - 1]!, found[best]!, found[best + 1]!);
  return { shift: (best - lags + bend) * even, correlation: found[best]!, atEdge };
}

/** The measured signal at even instants, linear between samples, NaN beyond its ends and at gaps. */
function onGrid(
  time: Float64Array,
  values: Float64Array,
  from: number,
  step: number,
  count: number,
): Float64Array {
  const even = new Float64Array(count).fill(Number.NaN);
  let row = 0;
  for (let k = 0; k < count; k++) {
    const at = from + k * step;
    while (row + 1 < time.length && time[row + 1]! <= at) row++;
    if (at < time[0]! || row + 1 >= time.length) {
      if (at === time[row]) even[k] = values[row]!;
      continue;
    }
    const share = (at - time[row]!) / (time[row + 1]! - time[row]!);
    // A sample that is met exactly needs no neighbour.
    even[k] = share === 0 ? values[row]! : values[row]! + share * (values[row + 1]! - values[row]!);
  }
  return even;
}

function correlation(values: Float64Array, model: Float64Array, lag: number): number {
  let n = 0;
  let [sumX, sumY, sumXX, sumYY, sumXY] = [0, 0, 0, 0, 0];
  for (let k = 0; k < model.length; k++) {
    const x = values[k + lag]!;
    if (Number.isNaN(x)) continue;
    const y = model[k]!;
    n++;
    sumX += x;
    sumY += y;
    sumXX += x * x;
    sumYY += y * y;
    sumXY += x * y;
  }
  if (n < LEAST_COMMON) return Number.NaN;
  const spread = (n * sumXX - sumX * sumX) * (n * sumYY - sumY * sumY);
  return spread > 0 ? (n * sumXY - sumX * sumY) / Math.sqrt(spread) : Number.NaN;
}

/** Where the parabola through three even points has its vertex, from the middle one, in steps. */
function vertex(before: number, at: number, after: number): number {
  const bend = before - 2 * at + after;
  const offset = bend < 0 ? (0.5 * (before - after)) / bend : 0;
  return Number.isNaN(offset) ? 0 : Math.min(Math.max(offset, -0.5), 0.5);
}
