import type { Progress } from '../study/work.ts';
import { ProgressLine } from './progress-line.ts';

/** Tells on standard error how far a study is. */
export class StudyProgress {
  readonly #line: ProgressLine;
  #progress: Progress = { finished: 0, failed: 0 };

  /**
   * @param total cases of the study, or of its shard
   * @param taken how many of them were finished before
   * @param isTerminal whether standard error is one
   */
  constructor(total: number, taken: number, isTerminal?: boolean) {
    const line = (elapsed: number) => progressLine(total, taken, this.#progress, elapsed);
    this.#line = new ProgressLine(line, isTerminal);
  }

  update(progress: Progress): void {
    this.#progress = progress;
  }

  /** Takes the line off a terminal. */
  end(): void {
    this.#line.end();
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
