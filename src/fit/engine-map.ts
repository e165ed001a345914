/** Residuals over speed and torque, cell by cell. */
export interface ResidualMap {
  /** Middle of each column [rad/s], rising */
  readonly speeds: readonly number[];
  /** Middle of each row [N m], rising */
  readonly torques: readonly number[];
  /** Mean of each cell, row by row from the lowest torque; undefined where there is no point */
  readonly means: readonly (readonly (number | undefined)[])[];
}

/** More distinct values than this are put into so many bins of equal width. */
const MOST_LEVELS = 7;

/**
 * Means of the residuals in cells of speed and torque. Where the points stand on few speeds or
 * torques, each of those is a column or a row of its own.
 * @param speed of each point
 * @param torque of each point
 * @param residuals of each point
 */
export function residualMap(
  speed: Float64Array,
  torque: Float64Array,
  residuals: Float64Array,
): ResidualMap {
  const columns = binsOf(speed);
  const rows = binsOf(torque);
  const sums = rows.middles.map(() => columns.middles.map(() => ({ sum: 0, count: 0 })));
  for (let i = 0; i < residuals.length; i++) {
    const cell = sums[rows.of(torque[i]!)]![columns.of(speed[i]!)]!;
    cell.sum += residuals[i]!;
    cell.count++;
  }
  return {
    speeds: columns.middles,
    torques: rows.middles,
    means: sums.map((row) => row.map(({ sum, count }) => (count === 0 ? undefined : sum / count))),
  };
}

function binsOf(values: Float64Array): { middles: number[]; of: (value: number) => number } {
  const levels = [...new Set(values)].sort((a, b) => a - b);
  if (levels.length <= MOST_LEVELS) return { middles: levels, of: (v) => levels.indexOf(v) };
  const low = levels[0]!;
  const width = (levels.at(-1)! - low) / MOST_LEVELS;
  return {
    middles: Array.from({ length: MOST_LEVELS }, (_, k) => low + (k + 0.5) * width),
    of: (value) => Math.min(Math.floor((value - low) / width), MOST_LEVELS - 1),
  };
}
