/** Stands for the place of a case in its chunk while none is at work: before the first, and after the last. */
export const NO_CASE = -1;

/** Longest that a thread may take to begin: it loads, maybe beside many others, on a busy machine [s]. */
export const BEGIN_LIMIT = 300;

/**
 * Time that a case has: as many times longer as there are more cases at once than cores, since each then
 * gets that much less of one.
 * @param limit for a case that has a core to itself [s]
 * @param jobs cases at once
 * @param cores of the machine
 */
export function sharedLimit(limit: number, jobs: number, cores: number): number {
  return limit * Math.max(1, jobs / cores);
}

/** Tells by looks, now and then, when a worker has been at one thing for too long. */
export class CaseClock {
  /** Longest that one case may take [s] */
  readonly #limit: number;
  #at = NO_CASE;
  #since: number;

  /**
   * @param limit longest that one case may take [s]
   * @param now any clock [ms], as all times here
   */
  constructor(limit: number, now: number) {
    this.#limit = limit;
    this.#since = now;
  }

  /**
   * A case counts from the first look that sees it at work, so that what a thread needs to load is none
   * of its time.
   * @param at place of the case that is at work, or NO_CASE
   * @returns whether it has been at work, or none has, for too long
   */
  isLate(at: number, now: number): boolean {
    if (at !== this.#at) {
      this.#at = at;
      this.#since = now;
    }
    const limit = at === NO_CASE ? BEGIN_LIMIT : this.#limit;
    return now - this.#since > limit * 1000;
  }
}
