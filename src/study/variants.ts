import type { JsonDocument } from '../config/document.ts';
import { inputHash } from '../config/hash.ts';
import { InputError, type Problem } from '../config/problem.ts';
import type { DocumentPart } from './documents.ts';
import { type DocumentKind, type NumberPath, withNumber } from './number-path.ts';
import type { PartCheck } from './part-check.ts';
import type { Place, StudyProblems } from './study-problems.ts';

/** A number that is set in a part, and where the study says so. */
export interface Setting {
  readonly path: NumberPath;
  readonly value: number;
  readonly place: Place;
}

/** So many combinations that fail alike are named; the others are counted. */
const NAMED = 3;

interface Alike {
  count: number;
  readonly place: Place;
  readonly path: string;
}

/**
 * Checks parts with numbers set in them. What is wrong with a number by itself is told once, with
 * its place; what is wrong only together with other numbers is told with all of them.
 */
export class Variants {
  readonly #check: PartCheck;
  readonly #problems: StudyProblems;
  /** Whether a value is sound by itself, by part, path and value. */
  readonly #values = new Map<string, boolean>();
  readonly #alike = new Map<string, Alike>();

  constructor(check: PartCheck, problems: StudyProblems) {
    this.#check = check;
    this.#problems = problems;
  }

  /**
   * @param kind of the part
   * @param part as its file says
   * @param settings numbers of that part
   * @param cure what the user can do where numbers do not go together
   * @returns digest of the part with them, or undefined where something is wrong
   */
  async digest(
    kind: DocumentKind,
    part: DocumentPart,
    settings: readonly Setting[],
    cure: (part: DocumentPart, settings: readonly Setting[]) => string,
  ): Promise<string | undefined> {
    if (settings.length === 0) return part.digest;
    try {
      return inputHash(await this.#check.identity(kind, withSettings(part.document, settings)));
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      // Not `every`: each of them is to be told.
      const sound = settings.filter((setting) => this.#isSound(kind, part, setting));
      if (sound.length < settings.length) return undefined;
      for (const problem of error.problems) this.#together(kind, part, settings, problem, cure);
      return undefined;
    }
  }

  /** Tells how many combinations failed as those that were named. */
  end(): void {
    for (const { count, place, path } of this.#alike.values()) {
      if (count <= NAMED) continue;
      this.#problems.ofNumber(place, path, {
        code: 'more-problems',
        found: `${count - NAMED} more such combinations`,
        expected: 'no problem',
      });
    }
  }

  #isSound(kind: DocumentKind, part: DocumentPart, setting: Setting): boolean {
    const { path, value, place } = setting;
    const key = `${part.digest} ${path.text} ${value}`;
    const known = this.#values.get(key);
    if (known !== undefined) return known;
    const own = this.#check
      .shapeProblems(kind, withSettings(part.document, [setting]))
      .filter((problem) => problem.path === path.inFile);
    for (const { code, expected, hint } of own) {
      const found = String(value);
      this.#problems.ofNumber(place, path.text, {
        code,
        found,
        expected,
        ...(hint === undefined ? {} : { hint }),
      });
    }
    this.#values.set(key, own.length === 0);
    return own.length === 0;
  }

  #together(
    kind: DocumentKind,
    part: DocumentPart,
    settings: readonly Setting[],
    problem: Problem,
    cure: (part: DocumentPart, settings: readonly Setting[]) => string,
  ): void {
    const named = settings.find(({ path }) => path.inFile === problem.path) ?? settings[0]!;
    const elsewhere = problem.file !== part.document.file;
    const path =
      elsewhere || problem.path === undefined
        ? named.path.text
        : `${kind}.${problem.path.replace(/\[(\d+)\]/g, '.$1')}`;
    const { place } = named;
    const key = `${part.digest} ${problem.file} ${problem.path} ${problem.code}`;
    const alike = this.#alike.get(key);
    if (alike === undefined) this.#alike.set(key, { count: 1, place, path });
    else alike.count++;
    if (alike !== undefined && alike.count > NAMED) return;
    const values = settings.map((setting) => `${setting.path.text} = ${setting.value}`).join(', ');
    const found = [problem.found ?? [], `${kind} ${part.name} with ${values}`].flat().join(' in ');
    const hint = [problem.hint ?? [], cure(part, settings)].flat().join('; or ');
    const { code, expected } = problem;
    if (elsewhere) this.#problems.others([{ ...problem, found, hint }]);
    else this.#problems.ofNumber(place, path, { code, found, expected, hint });
  }
}

/** A document with other numbers in it, in which nothing has a line of its own. */
export function withSettings(
  document: Pick<JsonDocument, 'value' | 'file' | 'folder'>,
  settings: readonly Pick<Setting, 'path' | 'value'>[],
): JsonDocument {
  const { file, folder } = document;
  const value = settings.reduce(
    (changed: unknown, setting) => withNumber(changed, setting.path.keys, setting.value),
    document.value,
  );
  return { value, file, folder, lineOf: () => undefined, duplicates: [] };
}
