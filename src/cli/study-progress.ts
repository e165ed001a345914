import { isatty } from 'node:tty';
import type { Progress } from '../study/work.ts';
import { writeErr } from './streams.ts';

const STANDARD_ERROR = 2;
/** A line on a terminal is written again so often [ms]. */
const REWRITE = 200;
/** Lines elsewhere, which stay, come so often; a quick study has none [ms]. */
const LINE = 10_000;
/** Goes to the beginning of the line and clears it. */
const CLEAR = '\r\u001b[K';

/** Tells on standard error how far a study is. */
export class StudyProgress {
  readonly #total: number;
  readonly #taken: number;
  readonly #isTerminal: boolean;
  readonly #begun = performance.now();
  readonly #timer: NodeJS.Timeout;
  #progress: Progress = { finished: 0, failed: 0 };
  #isShown = false;

  /**
   * @param total cases of the study, or of its shard
   * @param taken how many of them were finished before
   * @param isTerminal whether standard error is one
   */
  constructor(total: number, taken: number, isTerminal = isatty(STANDARD_ERROR)) {
    this.#total = total;
    this.#taken = taken;
    this.#isTerminal = isTerminal;
    this.#timer = setInterval(() => this.#show(), isTerminal ? REWRITE : LINE).unref();
  }

  update(progress: Progress): void {
    this.#progress = progress;
  }

  /** Takes the line off a terminal. */
  end(): void {
    clearInterval(this.#timer);
    if (this.#isTerminal && this.#isShown) writeErr(CLEAR);
  }

  #show(): void {
    const line = progressLine(
      this.#total,
      this.#taken,
      this.#progress,
      performance.now() - this.#begun,
    );
    this.#isShown = true;
    writeErr(this.#isTerminal ? `${CLEAR}${line}` : `${line}\n`);
  }
}

/**
 * How far a study is, in one line.
 * @param elapsed since the first case was begun [ms]
 */
export function progressLine(
  total: number,
  taken: number,
  { finished, failed }: Progress,
  elapsed: number,
): string {
  const done = taken + finished;
  const share = Math.floor((100 * done) / total);
  const words = [`${done} of ${total} cases (${share} %)`];
  if (failed > 0) words.push(`${failed} failed`);
  if (finished > 0) {
    const rate = finished / (elapsed / 1e3);
    words.push(`${rate.toFixed(rate < 10 ? 1 : 0)} cases/s`);
    words.push(`${durationText((total - done) / rate)} left`);
  }
  return words.join(', ');
}

/** A time for people [s]. */
export function durationText(seconds: number): string {
  if (seconds < 59.5) return `${Math.round(seconds)} s`;
  const minutes = Math.round(seconds / 60);
  if (minutes < 60) return `${minutes} min`;
  return `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}
