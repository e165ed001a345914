import { InputError, type Problem } from '../config/problem.ts';

/** So many problems of one file are listed; the others are counted. */
const LISTED = 20;
/** Longest piece of the user's text that a message repeats. */
const QUOTED_LENGTH = 40;

/** The problems of one file, gathered in file order. */
export class ProblemList {
  readonly #file: string;
  readonly #listed: Problem[] = [];
  #count = 0;

  constructor(file: string) {
    this.#file = file;
  }

  get isEmpty(): boolean {
    return this.#count === 0;
  }

  add(line: number, problem: Problem): void {
    this.#count++;
    if (this.#listed.length >= LISTED) return;
    const { path, found, ...rest } = problem;
    this.#listed.push({
      ...rest,
      file: this.#file,
      line,
      ...(path === undefined ? {} : { path: shortened(path) }),
      ...(found === undefined ? {} : { found: shortened(found) }),
    });
  }

  /** @throws InputError if there is any problem */
  throwIfAny(): void {
    if (this.isEmpty) return;
    const more = this.#count - this.#listed.length;
    if (more > 0) {
      this.#listed.push({
        code: 'more-problems',
        file: this.#file,
        found: `${more} more`,
        expected: 'no problem',
        hint: `only the first ${LISTED} are listed: mend these, then read the file again`,
      });
    }
    throw new InputError(this.#listed);
  }
}

function shortened(text: string): string {
  return text.length > QUOTED_LENGTH ? `${text.slice(0, QUOTED_LENGTH)}…` : text;
}
