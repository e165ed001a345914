import type { TuneProgress } from '../tune/run-tune.ts';
import { ProgressLine } from './progress-line.ts';
import { durationText } from './study-progress.ts';

/** Tells on standard error how far a tune is. */
export class TuneProgressLine {
  readonly #line: ProgressLine;
  #progress: TuneProgress = { tried: 0, run: 0 };

  /** @param total sets of numbers that may be tried */
  constructor(total: number) {
    this.#line = new ProgressLine((elapsed) => tuneLine(total, this.#progress, elapsed));
  }

  update(progress: TuneProgress): void {
    this.#progress = progress;
  }

  /** Takes the line off a terminal; once is enough. */
  end(): void {
    this.#line.end();
  }
}

/**
 * How far a tune is, in one line.
 * @param elapsed since it began [ms]
 */
export function tuneLine(total: number, { tried, run }: TuneProgress, elapsed: number): string {
  const words = [`${tried} of ${total} sets of numbers, ${run} cases run`];
  if (tried > 0 && tried < total) {
    words.push(`${durationText(((total - tried) * elapsed) / tried / 1e3)} left at most`);
  }
  return words.join(', ');
}
