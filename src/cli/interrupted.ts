import { constants } from 'node:os';

/** The user, or the system, ended the work. */
export class Interrupted extends Error {
  /** Exit status by the custom of shells: 128 and the number of the signal. */
  readonly status: number;

  constructor(signal: 'SIGINT' | 'SIGTERM') {
    super(`ended by ${signal}`);
    this.name = 'Interrupted';
    this.status = 128 + constants.signals[signal];
  }
}
