/** So much two numbers may differ, as a share, and still be the same: one may have been written with fewer digits. */
const ROUNDING = 1e-9;

/** Whether two numbers were meant to be the same. */
export function isSame(a: number, b: number): boolean {
  return Math.abs(a - b) <= ROUNDING * Math.max(Math.abs(a), Math.abs(b));
}
