import type { InputError, Problem } from '../config/problem.ts';

/** A place that cannot be written to: no fault of the case that is at work, and the end of a study. */
export class CannotWrite extends Error {
  readonly problems: readonly Problem[];

  constructor({ problems, message }: InputError) {
    super(message);
    this.name = 'CannotWrite';
    this.problems = problems;
  }
}
