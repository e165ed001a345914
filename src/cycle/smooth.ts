import { type Kernel, smoothByKernel } from './smooth-kernel.ts';
import { smoothT4253H } from './smooth-t4253h.ts';

/**
 * Smoothing of evenly sampled values by published methods. All of them count samples, not seconds,
 * so they mean something only where the samples are evenly spaced.
 *
 * - `five-point-mean`: centred moving mean of five samples, the data practice of 49 CFR 571.135
 *   (read, edition of 2015). Straight ramps stay exactly; white noise is divided by √5.
 * - `savitzky-golay-5`, `-7`, `-9`: the value in the middle of a parabola fitted by least squares.
 *   Savitzky and Golay, Anal. Chem. 36 (1964) 1627; the weights are from memory, and the tests
 *   derive them from the least squares they stand for.
 * - `t4253h`: running medians of 4, 2, 5 and 3, then Hanning's weights ¼, ½, ¼; the residuals are
 *   smoothed the same way and added again. Velleman, J. Am. Stat. Assoc. 75 (1980) 609; from
 *   memory, as is that the EU real-driving rules name this smoother for speed.
 */
export const SMOOTHING_METHODS = [
  'five-point-mean',
  'savitzky-golay-5',
  'savitzky-golay-7',
  'savitzky-golay-9',
  't4253h',
] as const;

/** Name of a smoothing method. */
export type SmoothingMethod = (typeof SMOOTHING_METHODS)[number];

/** Weights of a whole window, and of the shorter ones near the ends: from the middle outwards. */
const MEAN: Kernel = [[1], [1 / 3, 1 / 3], [1 / 5, 1 / 5, 1 / 5]];
const PARABOLA: Kernel = [
  [1],
  [1, 0], // through three points a parabola goes exactly
  [17 / 35, 12 / 35, -3 / 35],
  [7 / 21, 6 / 21, 3 / 21, -2 / 21],
  [59 / 231, 54 / 231, 39 / 231, 14 / 231, -21 / 231],
];

/** Samples smoothed at once; memory stays flat however long the drive is. */
const BLOCK = 4096;
/** No method looks further than 12 samples to either side. */
const MARGIN = 16;

/** Smooths a series from `values` into `smoothed`, as if nothing stood before or after it. */
type Smoother = (values: Float64Array, smoothed: Float64Array) => void;

function smootherOf(method: SmoothingMethod): Smoother {
  switch (method) {
    case 'five-point-mean':
      return (values, smoothed) => smoothByKernel(values, MEAN, smoothed);
    case 'savitzky-golay-5':
      return (values, smoothed) => smoothByKernel(values, PARABOLA.slice(0, 3), smoothed);
    case 'savitzky-golay-7':
      return (values, smoothed) => smoothByKernel(values, PARABOLA.slice(0, 4), smoothed);
    case 'savitzky-golay-9':
      return (values, smoothed) => smoothByKernel(values, PARABOLA, smoothed);
    case 't4253h':
      return smoothT4253H;
  }
}

/**
 * Smooths evenly sampled values, in place. Near the ends the windows are shorter, and still lie
 * evenly about their sample, so that the first and last sample of a moving mean stay.
 *
 * @param values evenly sampled; written over
 * @param method how
 * @param changed called for each sample that becomes another, with its index and both values
 */
export function smooth(
  values: Float64Array,
  method: SmoothingMethod,
  changed: (index: number, before: number, after: number) => void = () => {},
): void {
  const count = values.length;
  const smoother = smootherOf(method);
  const size = Math.min(count, BLOCK + 2 * MARGIN);
  const original = new Float64Array(size);
  const smoothed = new Float64Array(size);
  // The block before has been written over: its last samples are kept as they were.
  const before = new Float64Array(MARGIN);
  for (let start = 0; start < count; start += BLOCK) {
    const end = Math.min(start + BLOCK, count);
    const left = Math.min(MARGIN, start);
    const right = Math.min(MARGIN, count - end);
    const length = left + end - start + right;
    original.set(before.subarray(MARGIN - left));
    original.set(values.subarray(start, end + right), left);
    smoother(original.subarray(0, length), smoothed.subarray(0, length));
    for (let k = start; k < end; k++) {
      const now = smoothed[left + k - start]!;
      if (now === values[k]) continue;
      changed(k, values[k]!, now);
      values[k] = now;
    }
    if (end < count) before.set(original.subarray(left + end - start - MARGIN, left + end - start));
  }
}
