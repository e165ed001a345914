import { OBJECTIVES } from '../config/tune-file.ts';
import type { ResultRow } from '../study/result-row.ts';
import { meanFigure } from './conditions.ts';
import type { Tune, TuneCycle } from './tune.ts';

/** What numbers are tuned for, as a figure of some cases. */
export class Objective {
  readonly #objective: Tune['objective'];
  /** 1 where less is better, −1 where more is. */
  readonly sign: 1 | -1;

  constructor(objective: Tune['objective']) {
    this.#objective = objective;
    this.sign = OBJECTIVES[objective.figure] === 'less' ? 1 : -1;
  }

  /**
   * The mean of some cases, or the worst of those that have a share of the distance.
   * @param rows cases
   * @param cycles of these cases
   * @returns in the unit of the figure; NaN where there is none
   */
  of(rows: readonly ResultRow[], cycles: readonly TuneCycle[]): number {
    const { figure, over } = this.#objective;
    if (over === 'mean') return meanFigure(figure, rows, cycles);
    const counting = cycles.filter(({ share }) => share > 0).map(({ name }) => name);
    const values = rows
      .filter(({ names }) => counting.includes(names.cycle))
      .map(({ figures }) => this.sign * figures.of(figure));
    return this.sign * Math.max(...values);
  }

  /** By how much one value is better than another, in the unit of the figure. */
  gain(before: number, after: number): number {
    return this.sign > 0 ? before - after : after - before;
  }
}
