import type { Problem } from '../config/problem.ts';
import { thrownLater } from './disturbance.ts';
import { twoTurns } from './event-loop.ts';
import type { PlannedCase } from './plan.ts';

/** Errors that are thrown when nobody listens, in a thread that only runs cases. */
export class LateErrors {
  /** The last case with a plug-in: nobody else leaves anything behind. */
  suspect: PlannedCase | undefined;
  #first: Problem | undefined;

  constructor() {
    process.on('uncaughtException', (error: unknown) => {
      this.#first ??= thrownLater(error);
    });
  }

  /**
   * The first one since it was last asked for. What a case has left behind and is due comes out
   * before; what comes later than that is at the mercy of time.
   */
  async take(): Promise<Problem | undefined> {
    await twoTurns();
    const first = this.#first;
    this.#first = undefined;
    return first;
  }
}
