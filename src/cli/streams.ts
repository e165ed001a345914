import { writeSync } from 'node:fs';
import { InputError } from '../config/problem.ts';
import { writeProblem } from './write-problem.ts';

/** The reader of a pipe has gone: there is nobody left to write for, and nothing is wrong. */
export class ClosedPipe extends Error {
  constructor() {
    super('the pipe is closed');
    this.name = 'ClosedPipe';
  }
}

const STANDARD_OUTPUT = 1;
const STANDARD_ERROR = 2;

/** Pause before a pipe that is full is tried again [ms]. */
const PAUSE = 2;
const pauseCell = new Int32Array(new SharedArrayBuffer(4));

/**
 * Writes results to standard output, at once and in whole: a log may be longer than memory, so
 * nothing is queued, and a reader that goes away or a full disk is noticed here and now.
 * @throws ClosedPipe, or InputError where it cannot be written
 */
export function writeOut(text: string): void {
  write(STANDARD_OUTPUT, text, 'standard output');
}

/** Writes what is no result (warnings, errors) to standard error. */
export function writeErr(text: string): void {
  try {
    write(STANDARD_ERROR, text, 'standard error');
  } catch (error) {
    // There is no place left to tell it, and the exit status still does.
    if (!(error instanceof ClosedPipe || error instanceof InputError)) throw error;
  }
}

/**
 * Writes text to an open file, pipe or terminal.
 * @param descriptor of the open file
 * @param text
 * @param name for messages
 * @throws ClosedPipe, or InputError where it cannot be written
 */
export function write(descriptor: number, text: string, name: string): void {
  const bytes = Buffer.from(text, 'utf8');
  let done = 0;
  while (done < bytes.length) {
    try {
      done += writeSync(descriptor, bytes, done);
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException;
      if (code === 'EPIPE' || code === 'EOF') throw new ClosedPipe();
      if (code === 'EAGAIN') Atomics.wait(pauseCell, 0, 0, PAUSE);
      else throw new InputError([writeProblem(error, name)]);
    }
  }
}
