import { InputError, type Problem } from '../config/problem.ts';
import { endedEarly, thrownLater } from '../study/disturbance.ts';
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
      if (this.working) process.exitCode = told(endedEarly());
    });
    process.on('uncaughtException', (error: unknown) => {
      process.exitCode = told(thrownLater(error));
    });
  }

  /** The command has ended, one way or another, and its status is set. */
  done(): void {
    this.working = false;
  }
}

function told(problem: Problem): number {
  return exitStatus(new InputError([problem]));
}
