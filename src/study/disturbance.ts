import type { Problem } from '../config/problem.ts';

/** What a plug-in, the one stranger among us, did behind our back: ended the thread, threw later. */
export function disturbance(found: string, hint: string): Problem {
  return {
    code: 'process-disturbed',
    file: 'the process',
    found,
    expected: 'a run whose every decision is made at once',
    hint,
  };
}

/** The process, or the thread of a case, has ended by itself. */
export function endedEarly(): Problem {
  return disturbance(
    'its end before there was a result',
    'does a plug-in call `process.exit`, or wait for what never comes?',
  );
}

/** Something was thrown when nobody listened. */
export function thrownLater(error: unknown): Problem {
  const text = error instanceof Error ? `${error.name}: ${error.message}` : typeof error;
  return disturbance(
    text.split('\n')[0] ?? text,
    'does a plug-in leave a promise or a timer behind?',
  );
}
