import { twoTurns } from '../study/event-loop.ts';
import { type EndSignal, Interrupted } from './interrupted.ts';

/** Turns the signals that would end the process at once into one that long work can listen to. */
export class Interruption {
  readonly #controller = new AbortController();
  #caught: EndSignal | undefined;
  readonly #note = (signal: NodeJS.Signals) => {
    this.#caught ??= signal === 'SIGTERM' ? 'SIGTERM' : 'SIGINT';
    this.#controller.abort();
  };

  constructor() {
    process.on('SIGINT', this.#note).on('SIGTERM', this.#note);
  }

  get signal(): AbortSignal {
    return this.#controller.signal;
  }

  /**
   * Lets signals come that wait for the event loop.
   * @param left what is left of the work if it ends here, in words
   * @throws Interrupted if one has come
   */
  async heed(left: string): Promise<void> {
    await twoTurns();
    this.throwIfAny(left);
  }

  /**
   * @param left what is left of the work if it ends here, in words
   * @throws Interrupted if a signal has come
   */
  throwIfAny(left: string): void {
    if (this.#caught !== undefined) throw new Interrupted(this.#caught, left);
  }

  /** Leaves signals to the system again. */
  end(): void {
    process.off('SIGINT', this.#note).off('SIGTERM', this.#note);
  }
}
