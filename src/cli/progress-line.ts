import { isatty } from 'node:tty';
import { writeErr } from './streams.ts';

const STANDARD_ERROR = 2;
/** A line on a terminal is written again so often [ms]. */
const REWRITE = 200;
/** Lines elsewhere, which stay, come so often; a quick study has none [ms]. */
const LINE = 10_000;
/** Goes to the beginning of the line and clears it. */
const CLEAR = '\r\u001b[K';

/** Tells on standard error how far long work is: a line that is written again and again. */
export class ProgressLine {
  readonly #line: (elapsed: number) => string;
  readonly #isTerminal: boolean;
  readonly #begun = performance.now();
  readonly #timer: NodeJS.Timeout;
  #isShown = false;

  /**
   * @param line what it says, for a time since the beginning [ms]
   * @param isTerminal whether standard error is one
   */
  constructor(line: (elapsed: number) => string, isTerminal = isatty(STANDARD_ERROR)) {
    this.#line = line;
    this.#isTerminal = isTerminal;
    this.#timer = setInterval(() => this.#show(), isTerminal ? REWRITE : LINE).unref();
  }

  /** Takes the line off a terminal, and tells no more. */
  end(): void {
    clearInterval(this.#timer);
    if (this.#isTerminal && this.#isShown) writeErr(CLEAR);
    this.#isShown = false;
  }

  #show(): void {
    const line = this.#line(performance.now() - this.#begun);
    this.#isShown = true;
    writeErr(this.#isTerminal ? `${CLEAR}${line}` : `${line}\n`);
  }
}
