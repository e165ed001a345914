import { dirname } from 'node:path';
import { readText } from './files.ts';
import { type JsonPath, type ParsedJson, parseJson, pathText } from './json.ts';
import { InputError, type Problem } from './problem.ts';

/** A JSON file that was read, or values that stand for one. */
export interface JsonDocument extends ParsedJson {
  /** File name for messages, as the user gave it. */
  readonly file: string;
  /** Folder from which files named inside are found. */
  readonly folder: string;
}

/** What a decoder writes in the place of bytes that it cannot read: names would be lost in it. */
const REPLACEMENT = '\uFFFD';

/**
 * Reads a JSON file.
 *
 * @param path as the user gave it
 * @param what it should be, for messages: `a car file`
 * @throws InputError where it cannot be read, is no JSON, or holds what is no UTF-8
 */
export function readDocument(path: string, what: string): JsonDocument {
  const text = readText(path, what);
  const damage = text.indexOf(REPLACEMENT);
  if (damage >= 0) {
    throw new InputError([
      {
        code: 'not-text',
        file: path,
        line: text.slice(0, damage).split('\n').length,
        found: `${REPLACEMENT}, which stands for bytes that are no UTF-8`,
        expected: what,
        hint: 'save it as UTF-8 text',
      },
    ]);
  }
  return { ...parseJson(text, path), file: path, folder: dirname(path) };
}

/** Longest piece of the user's text that a message repeats. */
const SHOWN_LENGTH = 60;

/** A value in the user's own characters, cut short. */
export function shown(value: unknown): string {
  if (value === undefined) return 'nothing';
  const text = typeof value === 'number' ? String(value) : JSON.stringify(value);
  return text.length > SHOWN_LENGTH ? `${text.slice(0, SHOWN_LENGTH)}…` : text;
}

/** A number for a message, with four digits. */
export function short(value: number): string {
  return String(Number(value.toPrecision(4)));
}

/** What is wrong at a path of a document. */
export type Fault = Pick<Problem, 'code' | 'expected' | 'found' | 'hint'>;

/** So many problems are named; the others are counted. */
const MOST_NAMED = 100;

/** The problems of one document, gathered in any order and given in file order. */
export class DocumentProblems {
  readonly #document: JsonDocument;
  readonly #problems: Problem[];
  readonly #elsewhere: Problem[] = [];

  constructor(document: JsonDocument) {
    this.#document = document;
    this.#problems = [...document.duplicates];
  }

  /**
   * @param path of the value; the line is that of the innermost object around it which is there
   * @param fault what is wrong with it
   */
  add(path: JsonPath, fault: Fault): void {
    let place = path;
    let line = this.#document.lineOf(place);
    while (line === undefined && place.length > 0) {
      place = place.slice(0, -1);
      line = this.#document.lineOf(place);
    }
    const { code, ...rest } = fault;
    this.#problems.push({
      code,
      file: this.#document.file,
      ...(line === undefined ? {} : { line }),
      ...(path.length === 0 ? {} : { path: pathText(path) }),
      ...rest,
    });
  }

  /** Takes over problems that say their place in this document themselves. */
  addOwn(problems: readonly Problem[]): void {
    this.#problems.push(...problems);
  }

  /** Takes over the problems of a file that this one names. */
  addOthers(problems: readonly Problem[]): void {
    this.#elsewhere.push(...problems);
  }

  /** Whether nothing was found to be wrong, here or in a file that this one names. */
  get isEmpty(): boolean {
    return this.#problems.length + this.#elsewhere.length === 0;
  }

  /** @throws InputError if there is any problem, with the first of them and the number of the others */
  throwIfAny(): void {
    const own = this.#problems.toSorted((a, b) => (a.line ?? 0) - (b.line ?? 0));
    const all = [...own, ...this.#elsewhere];
    if (all.length > MOST_NAMED + 1) {
      const more = `${all.length - MOST_NAMED} more problems`;
      all.splice(MOST_NAMED, Number.POSITIVE_INFINITY, {
        code: 'more-problems',
        file: this.#document.file,
        found: more,
        expected: 'no problem',
      });
    }
    if (all.length > 0) throw new InputError(all);
  }
}
