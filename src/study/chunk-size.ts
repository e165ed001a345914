/** Time that a chunk should take: what a kill may cost, and long against handing it over [ms]. */
const AIM = 100;
/** So many times as large as the last one may a chunk be, since the first cases tell little. */
const GROWTH = 4;
/** Chunks that are left for every worker at least, so that all of them end at about the same time. */
const SHARES = 3;
const MOST = 500;

/** How many cases a worker is handed at a time, learned from how long they take. */
export class ChunkSize {
  readonly #jobs: number;
  #size = 1;

  constructor(jobs: number) {
    this.#jobs = jobs;
  }

  /** Size of the next chunk, from 1 to what is left. */
  of(left: number): number {
    const fair = Math.ceil(left / (SHARES * this.#jobs));
    return Math.max(1, Math.min(this.#size, fair, left));
  }

  /** Takes in that so many cases took so long [ms]. */
  learn(cases: number, elapsed: number): void {
    if (cases === 0 || elapsed <= 0) return;
    const fitting = Math.round((AIM * cases) / elapsed);
    this.#size = Math.max(1, Math.min(fitting, GROWTH * this.#size, MOST));
  }
}
