import type { JsonPath } from '../config/json.ts';
import type { StudyProblems } from './study-problems.ts';

/** A car, store, strategy or cycle that cases may be made of. */
export interface Listed {
  /** Name for results. */
  readonly name: string;
  /** Digest of its content (`inputHash`). */
  readonly digest: string;
  /** What the user calls it, for messages. */
  readonly from: string;
}

/** The parts of one kind, each once: those that the study lists, then those that only its cases name. */
export class PartList<Part extends Listed> {
  readonly parts: Part[] = [];
  readonly #kind: string;
  readonly #problems: StudyProblems;
  readonly #notices: string[];
  readonly #byDigest = new Map<string, number>();
  readonly #byName = new Map<string, number>();
  /** How many of them the study lists. */
  listed = 0;

  constructor(kind: string, problems: StudyProblems, notices: string[]) {
    this.#kind = kind;
    this.#problems = problems;
    this.#notices = notices;
  }

  /** Adds a part of the study's list. */
  list(part: Part, place: JsonPath): void {
    const index = this.#byDigest.get(part.digest);
    if (index !== undefined) {
      const known = this.parts[index]!;
      const names = known.name === part.name ? '' : `, known as ${known.name}`;
      this.#notices.push(
        `The ${this.#kind} ${part.name} is listed twice, as ${known.from} and as ${part.from}: it is taken once${names}.`,
      );
      return;
    }
    this.#add(part, place);
    this.listed = this.parts.length;
  }

  /**
   * Adds a part that only a case names.
   * @returns its place among the parts
   */
  named(part: Part, place: JsonPath): number {
    return this.#byDigest.get(part.digest) ?? this.#add(part, place);
  }

  /** Place of the part of that name among the parts. */
  indexOf(name: string): number | undefined {
    return this.#byName.get(name);
  }

  #add(part: Part, place: JsonPath): number {
    const known = this.#byName.get(part.name);
    if (known !== undefined) {
      const rival = this.parts[known]!;
      this.#problems.at(place, {
        code: 'same-name',
        found: `${part.name}, as ${rival.from} is called too`,
        expected: `a name of its own for each ${this.#kind}, by which results tell them apart`,
        hint:
          this.#kind === 'cycle'
            ? 'a cycle is called as its file: rename one of the two'
            : 'mend the `name` in one of the two files',
      });
    }
    const index = this.parts.length;
    this.parts.push(part);
    this.#byDigest.set(part.digest, index);
    if (known === undefined) this.#byName.set(part.name, index);
    return index;
  }
}
