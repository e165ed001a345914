import { InputError, type Problem } from '../../src/config/problem.ts';

/** The problems that an action is refused for; fails if it is not refused. */
export function problemsOf(action: () => unknown): readonly Problem[] {
  try {
    action();
  } catch (error) {
    if (error instanceof InputError) return error.problems;
    throw error;
  }
  throw new Error('nothing was refused');
}
