/** Exit statuses by the custom of shells: 128 and the number of the signal. */
const STATUS = { SIGINT: 130, SIGTERM: 143 } as const;

/** A signal by which the user, or the system, ends work. */
export type EndSignal = keyof typeof STATUS;

/** The user, or the system, ended the work. */
export class Interrupted extends Error {
  readonly signal: EndSignal;
  readonly status: number;

  /**
   * @param signal
   * @param left what is left of the work, in words
   */
  constructor(signal: EndSignal, left: string) {
    super(`interrupted: ${left}`);
    this.name = 'Interrupted';
    this.signal = signal;
    this.status = STATUS[signal];
  }
}
