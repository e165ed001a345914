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
  /** What it is called where others have its name, if it has no other name of its own. */
  readonly path?: string;
}

/** The parts of one kind, each once: those that the study lists, then those that only its cases name. */
export class PartList<Part extends Listed> {
  readonly parts: Part[] = [];
  readonly #kind: string;
  readonly #problems: StudyProblems;
  readonly #notices: string[];
  readonly #byDigest = new Map<string, number>();
  readonly #byName = new Map<string, number>();
  /** Names that more than one would have had. */
  readonly #shared = new Set<string>();
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
    const own = this.#toldApart(part);
    const known = this.#byName.get(own.name);
    if (known !== undefined) {
      const rival = this.parts[known]!;
      this.#problems.at(place, {
        code: 'same-name',
        found: `${own.name}, as ${rival.from} is called too`,
        expected: `a name of its own for each ${this.#kind}, by which results tell them apart`,
        hint: 'mend the `name` of one of the two',
      });
    }
    const index = this.parts.length;
    this.parts.push(own);
    this.#byDigest.set(own.digest, index);
    if (known === undefined) this.#byName.set(own.name, index);
    return index;
  }

  /** Parts that are called as their files are called by their paths where that is no name of one. */
  #toldApart(part: Part): Part {
    const { name } = part;
    const known = this.#byName.get(name);
    if (known === undefined && !this.#shared.has(name)) return part;
    const own = byPath(part);
    const rival = known === undefined ? undefined : byPath(this.parts[known]!);
    if (rival !== undefined && rival.name !== name) {
      this.parts[known!] = rival;
      this.#byName.delete(name);
      this.#byName.set(rival.name, known!);
    }
    const moved = [rival, own].filter((one) => one !== undefined && one.name !== name);
    if (moved.length > 0 && !this.#shared.has(name)) {
      this.#shared.add(name);
      const names = moved.map((one) => one!.name).join(' and ');
      this.#notices.push(
        `More than one ${this.#kind} is called ${name}: results call them by their paths, as ${names}.`,
      );
    }
    return own;
  }
}

function byPath<Part extends Listed>(part: Part): Part {
  return part.path === undefined ? part : { ...part, name: part.path };
}
