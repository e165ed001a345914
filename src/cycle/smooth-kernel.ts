/** For each half width from 0 on the weights of a symmetric window, from the middle outwards. */
export type Kernel = readonly (readonly number[])[];

/**
 * Weighted mean of each sample and its neighbours. Near the ends, where a whole window does not
 * fit, the widest one that does serves.
 *
 * @param values evenly sampled
 * @param kernel weights for each half width; the last is the whole window
 * @param smoothed result, of the same length
 */
export function smoothByKernel(values: Float64Array, kernel: Kernel, smoothed: Float64Array): void {
  const last = values.length - 1;
  for (let k = 0; k <= last; k++) {
    const half = Math.min(kernel.length - 1, k, last - k);
    const weights = kernel[half]!;
    let sum = weights[0]! * values[k]!;
    for (let j = 1; j <= half; j++) sum += weights[j]! * (values[k - j]! + values[k + j]!);
    smoothed[k] = sum;
  }
}
