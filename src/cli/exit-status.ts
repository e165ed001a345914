import { CommanderError } from 'commander';
import { InputError } from '../config/problem.ts';
import { problemsText } from '../output/problems.ts';
import { CasesFailed } from './cases-failed.ts';
import { GatesNotHeld } from './gates-not-held.ts';
import { Interrupted } from './interrupted.ts';
import { ClosedPipe, writeErr } from './streams.ts';
import { TraceNotFollowed } from './trace-not-followed.ts';
import { writeProblem } from './write-problem.ts';

/** Exit statuses of the program; every command's help lists those it can end with. */
export const STATUS = {
  done: 0,
  defect: 1,
  input: 2,
  gates: 3,
  notFollowed: 4,
} as const;

/**
 * Tells the user why a command ended, and what status that is.
 * @param error whatever a command threw
 * @returns the exit status
 */
export function exitStatus(error: unknown): number {
  if (error instanceof ClosedPipe) return STATUS.done;
  if (error instanceof Interrupted) {
    writeErr(`${error.message}\n`);
    return error.status;
  }
  if (error instanceof CommanderError) {
    // Its message has been printed; status 0 is that of `--help` and `--version`.
    return error.exitCode === 0 ? STATUS.done : STATUS.input;
  }
  if (error instanceof InputError) {
    writeErr(problemsText(error.problems));
    return STATUS.input;
  }
  if (error instanceof CasesFailed) {
    writeErr(`${error.message}\n`);
    return error.isDefect ? STATUS.defect : STATUS.input;
  }
  if (error instanceof GatesNotHeld) {
    writeErr(`${error.message}\n`);
    return STATUS.gates;
  }
  if (error instanceof TraceNotFollowed) {
    writeErr(`${error.message}\n`);
    return STATUS.notFollowed;
  }
  if (isOutOfFiles(error)) {
    writeErr(problemsText([writeProblem(error, 'this process')]));
    return STATUS.input;
  }
  writeErr(defectText(error));
  return STATUS.defect;
}

/** A limit of the surroundings, wherever it is reached. */
function isOutOfFiles(error: unknown): boolean {
  const { code } = (error ?? {}) as NodeJS.ErrnoException;
  return code === 'EMFILE' || code === 'ENFILE';
}

function defectText(error: unknown): string {
  const message = error instanceof Error ? error.message : String(error);
  const oneLine = message.replace(/\s*\n\s*/g, ' ');
  const { SPINLEDGER_DEBUG: debug } = process.env;
  const stack = debug === '1' && error instanceof Error ? `${error.stack ?? 'no stack'}\n` : '';
  return `a defect of spinledger: ${oneLine}; please report it with the command and its input files (SPINLEDGER_DEBUG=1 adds a trace)\n${stack}`;
}
