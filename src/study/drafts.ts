import type { InputHashes } from '../config/hash.ts';
import type { ListedCase } from './cases.ts';
import type { Digests } from './digests.ts';
import type { DocumentKind } from './number-path.ts';
import type { PartIndices, PlannedCase } from './plan.ts';
import type { PlannedProduct } from './planned.ts';
import type { Product } from './product.ts';

/** A case before it has its place in the plan. */
export type Draft = Pick<PlannedCase, 'parts' | 'values' | 'inputs'>;

/** Cases that are made when they are asked for. */
export interface Drafts {
  readonly count: number;
  inputsAt(index: number): InputHashes;
  at(index: number): Draft;
}

/** The combinations of a product that are not excluded. */
export class ProductDrafts implements Drafts {
  readonly #product: Product;
  readonly #included: Uint32Array;
  readonly #digests: Readonly<Record<DocumentKind, Digests>>;
  readonly #cycles: readonly string[];
  readonly #columns: readonly ({ place: number; values: readonly number[] } | undefined)[];
  readonly #digits: Uint32Array;

  /**
   * @param planned the product and what is left of it
   * @param cycles digests of the cycles
   * @param varied paths of the plan
   */
  constructor(
    { product, included, digests }: PlannedProduct,
    cycles: readonly string[],
    varied: readonly string[],
  ) {
    this.#product = product;
    this.#included = included;
    this.#digests = digests;
    this.#cycles = cycles;
    this.#columns = varied.map((text) => product.columnOf(text));
    this.#digits = new Uint32Array(product.sizes.length);
  }

  get count(): number {
    return this.#included.length;
  }

  inputsAt(index: number): InputHashes {
    const digits = this.#digits;
    this.#product.digits(this.#included[index]!, digits);
    const digest = (kind: DocumentKind) =>
      this.#digests[kind].at(this.#product.variantAt(kind, digits));
    return {
      car: digest('car'),
      store: digest('store'),
      strategy: digest('strategy'),
      cycle: this.#cycles[digits[this.#product.placeOf('cycle')]!]!,
    };
  }

  at(index: number): Draft {
    const inputs = this.inputsAt(index);
    const digits = this.#digits;
    const part = (kind: keyof PartIndices) => digits[this.#product.placeOf(kind)]!;
    const parts = {
      car: part('car'),
      store: part('store'),
      strategy: part('strategy'),
      cycle: part('cycle'),
    };
    const values = this.#columns.map((column) =>
      column === undefined ? null : column.values[digits[column.place]!]!,
    );
    return { parts, values, inputs };
  }
}

/** The cases that a study lists by themselves. */
export class ListedDrafts implements Drafts {
  readonly #cases: readonly { readonly listed: ListedCase; readonly inputs: InputHashes }[];
  readonly #varied: readonly string[];

  constructor(
    cases: readonly { readonly listed: ListedCase; readonly inputs: InputHashes }[],
    varied: readonly string[],
  ) {
    this.#cases = cases;
    this.#varied = varied;
  }

  get count(): number {
    return this.#cases.length;
  }

  inputsAt(index: number): InputHashes {
    return this.#cases[index]!.inputs;
  }

  at(index: number): Draft {
    const { listed, inputs } = this.#cases[index]!;
    const values = this.#varied.map(
      (text) => listed.settings.find(({ path }) => path.text === text)?.value ?? null,
    );
    return { parts: listed.parts, values, inputs };
  }
}
