import type { Trace } from '../cycle/trace.ts';

/**
 * Height of every sample of a trace above its first [m]: the climbs added up.
 *
 * @param trace the drive
 * @param start height of the first sample [m]
 */
export function heightsOf({ climb }: Trace, start = 0): Float64Array {
  const heights = new Float64Array(climb.length + 1);
  heights[0] = start;
  for (let k = 0; k < climb.length; k++) heights[k + 1] = heights[k]! + climb[k]!;
  return heights;
}
