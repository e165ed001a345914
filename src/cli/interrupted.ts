/** Exit statuses by the custom of shells: 128 and the number of the signal. */
const STATUS = { SIGINT: 130, SIGTERM: 143 } as const;

/** The user, or the system, ended the work. */
export class Interrupted extends Error {
  readonly status: number;

  constructor(signal: keyof typeof STATUS) {
    super(`ended by ${signal}`);
    this.name = 'Interrupted';
    this.status = STATUS[signal];
  }
}
