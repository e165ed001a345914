import type { LoadedCase } from '../config/load.ts';
import { DefectError } from '../config/problem.ts';
import type { PlannedCase } from './plan.ts';
import type { StudySources } from './sources.ts';

/**
 * Makes cases of a plan ready to run. Cases that share a part get the very same object for it, as
 * long as it is among those that are kept.
 */
export class CaseInputs {
  readonly #sources: StudySources;

  /** @param sources of the plan */
  constructor(sources: StudySources) {
    this.#sources = sources;
  }

  /**
   * @param planned a case of the plan that the sources belong to
   * @throws InputError where a file that the plan was made from has changed since
   */
  async load(planned: PlannedCase): Promise<LoadedCase> {
    throw new DefectError(`case ${planned.index} of ${this.#sources.car.length} cars`);
  }
}
