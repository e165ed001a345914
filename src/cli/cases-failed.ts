/** A study has been worked off, and some of its cases could not be finished. */
export class CasesFailed extends Error {
  /** Whether the program itself is to blame for any of them */
  readonly isDefect: boolean;

  constructor(message: string, isDefect: boolean) {
    super(message);
    this.name = 'CasesFailed';
    this.isDefect = isDefect;
  }
}
