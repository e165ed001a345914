import { InputError, type Problem } from '../config/problem.ts';

/** So many problems of one file are listed; the others are counted. */
const LISTED = 20;
/** Longest piece of the user's text that a message repeats. */
const QUOTED_LENGTH = 40;

/** The problems of one input, gathered in their order. */
export class ProblemList {
  readonly #file: string | undefined;
  readonly #listed: Problem[] = [];
  #count = 0;

  /** @param file for messages; left out where the input is none */
  constructor(file?: string) {
    this.#file = file;
  }

  get isEmpty(): boolean {
    return this.#count === 0;
  }

  /** @param line from 1; undefined where there is none */
  add(line: number | undefined, problem: Problem): void {
    this.#count++;
    if (this.#listed.length >= LISTED) return;
    const { path, found, ...rest } = problem;
    this.#listed.push({
      ...rest,
      ...this.#place(),
      ...(line === undefined ? {} : { line }),
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
        ...this.#place(),
        found: `${more} more`,
        expected: 'no problem',
        hint: `only the first ${LISTED} are listed: mend these, then read it again`,
      });
    }
    throw new InputError(this.#listed);
  }

  #place(): { readonly file?: string } {
    return this.#file === undefined ? {} : { file: this.#file };
  }
}

function shortened(text: string): string {
  return text.length > QUOTED_LENGTH ? `${text.slice(0, QUOTED_LENGTH)}…` : text;
}
