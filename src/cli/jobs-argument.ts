import { InvalidArgumentError } from 'commander';
import { number } from './number-argument.ts';

/** More workers than this are a slip of the pen. */
const MOST_JOBS = 1024;

/** Reads how many cases run at a time. */
export function jobs(text: string): number {
  const count = number(1, MOST_JOBS, 'cases at a time')(text);
  if (!Number.isInteger(count)) throw new InvalidArgumentError('Expected a whole number.');
  return count;
}
