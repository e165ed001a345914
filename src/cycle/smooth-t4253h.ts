/**
 * The compound smoother T4253H: running medians of 4, 2, 5 and 3 samples, then Hanning's weights;
 * the same again on the residuals, which are added ("twicing"). A single outlier vanishes, an edge
 * stays where it is and grows little softer.
 *
 * Source: Velleman, "Definition and comparison of robust nonlinear data smoothing algorithms",
 * J. Am. Stat. Assoc. 75 (1980) 609-615; from memory, not verified. So are the rules for the ends:
 * shorter medians, and Tukey's rule for the first and last sample.
 *
 * @param values evenly sampled
 * @param smoothed result, of the same length
 */
export function smoothT4253H(values: Float64Array, smoothed: Float64Array): void {
  const count = values.length;
  const work = new Float64Array(count);
  smooth4253H(values, work, smoothed);
  const residual = new Float64Array(count);
  for (let k = 0; k < count; k++) residual[k] = values[k]! - smoothed[k]!;
  const smoothedResidual = new Float64Array(count);
  smooth4253H(residual, work, smoothedResidual);
  for (let k = 0; k < count; k++) smoothed[k]! += smoothedResidual[k]!;
}

function smooth4253H(values: Float64Array, work: Float64Array, smoothed: Float64Array): void {
  if (values.length < 3) {
    smoothed.set(values);
    return;
  }
  mediansOf4And2(values, smoothed);
  mediansOf5(smoothed, work);
  mediansOf3(work, smoothed);
  holdEnds(work, smoothed);
  work.set(smoothed);
  hanning(work, smoothed);
}

/** Medians of 4 lie between the samples; the mean of two neighbouring ones lies on them again. */
function mediansOf4And2(values: Float64Array, result: Float64Array): void {
  const last = values.length - 1;
  let before = 0.5 * (values[0]! + values[1]!);
  result[0] = values[0]!;
  for (let k = 1; k < last; k++) {
    const after =
      k + 2 <= last
        ? medianOf4(values[k - 1]!, values[k]!, values[k + 1]!, values[k + 2]!)
        : 0.5 * (values[k]! + values[k + 1]!);
    result[k] = 0.5 * (before + after);
    before = after;
  }
  result[last] = values[last]!;
}

function mediansOf5(values: Float64Array, result: Float64Array): void {
  const last = values.length - 1;
  for (let k = 0; k <= last; k++) {
    const half = Math.min(2, k, last - k);
    if (half === 0) result[k] = values[k]!;
    else if (half === 1) result[k] = medianOf3(values[k - 1]!, values[k]!, values[k + 1]!);
    else {
      result[k] = medianOf5(
        values[k - 2]!,
        values[k - 1]!,
        values[k]!,
        values[k + 1]!,
        values[k + 2]!,
      );
    }
  }
}

function mediansOf3(values: Float64Array, result: Float64Array): void {
  const last = values.length - 1;
  for (let k = 1; k < last; k++) {
    result[k] = medianOf3(values[k - 1]!, values[k]!, values[k + 1]!);
  }
}

/** Tukey's rule: the end, its neighbour, and where the next two point to; their median. */
function holdEnds(values: Float64Array, result: Float64Array): void {
  const last = values.length - 1;
  result[0] = medianOf3(values[0]!, result[1]!, 3 * result[1]! - 2 * result[2 > last - 1 ? 1 : 2]!);
  result[last] = medianOf3(
    values[last]!,
    result[last - 1]!,
    3 * result[last - 1]! - 2 * result[last - 2 < 1 ? last - 1 : last - 2]!,
  );
}

function hanning(values: Float64Array, result: Float64Array): void {
  const last = values.length - 1;
  for (let k = 1; k < last; k++) {
    result[k] = 0.25 * values[k - 1]! + 0.5 * values[k]! + 0.25 * values[k + 1]!;
  }
}

function medianOf3(a: number, b: number, c: number): number {
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
}

/** Mean of the two middle ones. */
function medianOf4(a: number, b: number, c: number, d: number): number {
  const lower = Math.max(Math.min(a, b), Math.min(c, d));
  const upper = Math.min(Math.max(a, b), Math.max(c, d));
  return 0.5 * (lower + upper);
}

/** The middle one of five: of four of them the two middle ones, and the fifth. */
function medianOf5(a: number, b: number, c: number, d: number, e: number): number {
  const lower = Math.max(Math.min(a, b), Math.min(c, d));
  const upper = Math.min(Math.max(a, b), Math.max(c, d));
  return medianOf3(lower, upper, e);
}
