import { InputError } from '../config/problem.ts';
import { exitStatus } from './exit-status.ts';

/**
 * Watches for a process that ends, or an error that is thrown, behind the program's back. The one
 * stranger in the process is a plug-in: if it calls `process.exit`, a run would end without a result
 * and with whatever status it likes, even 0; if it waits for ever, with a status of the platform; and
 * what it throws when nobody listens would be printed as a stack.
 */
export class UnfinishedWork {
  private working = true;

  constructor() {
    process.on('exit', () => {
      if (this.working) {
        process.exitCode = told(
          'its end before there was a result',
          'does a plug-in call `process.exit`, or wait for what never comes?',
        );
      }
    });
    process.on('uncaughtException', (error: unknown) => {
      const text = error instanceof Error ? `${error.name}: ${error.message}` : typeof error;
      process.exitCode = told(
        text.split('\n')[0] ?? text,
        'does a plug-in leave a promise or a timer behind?',
      );
    });
  }

  /** The command has ended, one way or another, and its status is set. */
  done(): void {
    this.working = false;
  }
}

function told(found: string, hint: string): number {
  const expected = 'a run whose every decision is made at once';
  return exitStatus(
    new InputError([{ code: 'process-disturbed', file: 'the process', found, expected, hint }]),
  );
}
