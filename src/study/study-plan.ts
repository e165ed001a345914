import { createHash } from 'node:crypto';
import { canonicalJson, caseHash, type InputHashes } from '../config/hash.ts';
import { MODEL_VERSION } from '../simulate/model-version.ts';
import type { Draft, Drafts } from './drafts.ts';
import type { Plan, PlannedCase, PlanShape } from './plan.ts';
import type { PartKind } from './product.ts';

/** Bytes of the hash of a case. */
const HASH_SIZE = 8;

/** What a plan is made of. */
export interface PlanParts extends Omit<Plan, 'count' | 'hash' | 'shape' | 'caseAt' | 'hashAt'> {
  /** Names for results of the parts of each kind. */
  readonly names: Readonly<Record<PartKind, readonly string[]>>;
  /** The cases in their order, each group behind the one before it. */
  readonly drafts: readonly Drafts[];
  readonly shape: Omit<PlanShape, 'repeated'>;
}

/** A plan that keeps a few bytes a case: where it is drafted, and its hash. */
export class StudyPlan implements Plan {
  readonly name: string;
  readonly count: number;
  readonly varied: Plan['varied'];
  readonly cycleShares: Plan['cycleShares'];
  readonly outputs: Plan['outputs'];
  readonly hash: string;
  readonly inputs: Plan['inputs'];
  readonly sources: Plan['sources'];
  readonly files: Plan['files'];
  readonly drives: Plan['drives'];
  readonly notices: Plan['notices'];
  readonly shape: PlanShape;
  readonly #names: PlanParts['names'];
  readonly #drafts: readonly Drafts[];
  /** Which of the drafts each case is, counted through all groups. */
  readonly #order: Uint32Array;
  readonly #hashes: Buffer;

  constructor(parts: PlanParts) {
    this.name = parts.name;
    this.varied = parts.varied;
    this.cycleShares = parts.cycleShares;
    this.outputs = parts.outputs;
    this.inputs = parts.inputs;
    this.sources = parts.sources;
    this.files = parts.files;
    this.drives = parts.drives;
    this.#names = parts.names;
    this.#drafts = parts.drafts;
    const all = parts.drafts.reduce((sum, { count }) => sum + count, 0);
    this.#order = new Uint32Array(all);
    this.#hashes = Buffer.alloc(all * HASH_SIZE);
    this.count = this.#putDown();
    const repeated = all - this.count;
    this.shape = { ...parts.shape, repeated };
    this.notices = repeated === 0 ? parts.notices : [...parts.notices, repeatedNotice(repeated)];
    this.hash = this.#digest();
  }

  caseAt(index: number): PlannedCase {
    const hash = this.hashAt(index);
    const { parts, values, inputs } = this.#draftAt(this.#order[index]!);
    const { car, store, strategy, cycle } = this.#names;
    const names = {
      car: car[parts.car]!,
      store: store[parts.store]!,
      strategy: strategy[parts.strategy]!,
      cycle: cycle[parts.cycle]!,
    };
    return { index, names, parts, values, inputs, hash };
  }

  hashAt(index: number): string {
    if (!(Number.isInteger(index) && index >= 0 && index < this.count)) {
      throw new RangeError(`the plan has cases 0 to ${this.count - 1}, not ${index}`);
    }
    return this.#hashes.toString('hex', index * HASH_SIZE, (index + 1) * HASH_SIZE);
  }

  /** Gives the cases their places, each hash once; returns how many there are. */
  #putDown(): number {
    const known = new Set<string>();
    let count = 0;
    let draft = 0;
    for (const group of this.#drafts) {
      for (let k = 0; k < group.count; k++, draft++) {
        const inputs: InputHashes = group.inputsAt(k);
        const hash = caseHash(inputs, MODEL_VERSION);
        if (known.has(hash)) continue;
        known.add(hash);
        this.#order[count] = draft;
        this.#hashes.write(hash, count * HASH_SIZE, 'hex');
        count++;
      }
    }
    return count;
  }

  #draftAt(draft: number): Draft {
    let first = 0;
    for (const group of this.#drafts) {
      if (draft < first + group.count) return group.at(draft - first);
      first += group.count;
    }
    throw new RangeError(`no draft ${draft}`);
  }

  #digest(): string {
    const { name, varied, cycleShares, outputs } = this;
    const hash = createHash('sha256');
    hash.update(canonicalJson({ name, varied, cycleShares, outputs, names: this.#names }));
    for (let index = 0; index < this.count; index++) {
      const { parts, values } = this.#draftAt(this.#order[index]!);
      hash.update(JSON.stringify([this.hashAt(index), parts, values]));
    }
    return hash.digest('hex');
  }
}

function repeatedNotice(count: number): string {
  return count === 1
    ? 'One case is the same as another: it is run and listed once.'
    : `${count} cases are the same as others: each is run and listed once.`;
}
