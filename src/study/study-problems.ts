import { DocumentProblems, type Fault, type JsonDocument } from '../config/document.ts';
import type { JsonPath } from '../config/json.ts';
import { InputError, type Problem } from '../config/problem.ts';

/** Where something of a study stands: at a path of its file, or in a row of a table that it names. */
export type Place = { readonly path: JsonPath } | { readonly file: string; readonly line: number };

/** Codes of problems of a file that cannot be had, for which the line that names it is to be mended. */
const NOT_HAD =
  /^(?:no-file|folder|unreadable|no-match|unknown-(?:car|store|strategy|cycle)|composition)$/;

/** The problems of a study and of the files that it names; each is told once. */
export class StudyProblems {
  readonly document: JsonDocument;
  /** Those of the study's own file. */
  readonly own: DocumentProblems;
  readonly #told = new Set<string>();

  constructor(document: JsonDocument) {
    this.document = document;
    this.own = new DocumentProblems(document);
  }

  get isEmpty(): boolean {
    return this.own.isEmpty;
  }

  /** Something is wrong with what stands at a path of the study. */
  at(path: JsonPath, fault: Fault): void {
    if (this.#isNew([path, fault])) this.own.add(path, fault);
  }

  /** Something is wrong with a number; the problem names its path and not its place in the study. */
  ofNumber(place: Place, path: string, fault: Fault): void {
    const { code, ...rest } = fault;
    if (!('path' in place)) {
      const { file, line } = place;
      this.others([{ code, file, line, path, ...rest }]);
      return;
    }
    const { file } = this.document;
    const line = this.document.lineOf(place.path);
    this.inline({ code, file, ...(line === undefined ? {} : { line }), path, ...rest });
  }

  /** A problem of something that stands in the study, which says where itself. */
  inline(problem: Problem): void {
    if (this.#isNew(problem)) this.own.addOwn([problem]);
  }

  /** Problems of another file. */
  others(problems: readonly Problem[]): void {
    this.own.addOthers(problems.filter((problem) => this.#isNew(problem)));
  }

  /**
   * Problems that came of something the study names or holds.
   * @param path where it stands
   * @param error what was thrown; anything but an InputError goes on
   */
  of(path: JsonPath, error: unknown): void {
    if (!(error instanceof InputError)) throw error;
    for (const { code, file, found, ...rest } of error.problems) {
      if (NOT_HAD.test(code)) {
        const { expected, hint } = rest;
        const place = rest.path === undefined ? '' : `${rest.path} of `;
        const told = [file === undefined ? [] : `${place}${file}`, found ?? []].flat().join(': ');
        this.at(path, { code, found: told, expected, ...(hint === undefined ? {} : { hint }) });
      } else {
        this.others([{ code, ...(file && { file }), ...rest, ...(found && { found }) }]);
      }
    }
  }

  throwIfAny(): void {
    this.own.throwIfAny();
  }

  #isNew(problem: unknown): boolean {
    const text = JSON.stringify(problem);
    if (this.#told.has(text)) return false;
    this.#told.add(text);
    return true;
  }
}
