import type { Axis } from './axes.ts';
import { DOCUMENT_KINDS, type DocumentKind } from './number-path.ts';

/** The kinds of part, in the order in which a product of cases runs through them. */
export const PART_KINDS = [...DOCUMENT_KINDS, 'cycle'] as const;

export type PartKind = (typeof PART_KINDS)[number];

/** Where the cycle stands among the digits of a combination with so many axes. */
const AXES_FROM = DOCUMENT_KINDS.length;

/**
 * All combinations of parts and rows of axes. A combination is known by its number; its digits say
 * which car, store, strategy, row of each axis and cycle it has, the car the slowest and the cycle
 * the fastest.
 */
export class Product {
  /** How many of each there are. */
  readonly sizes: readonly number[];
  /** Number of combinations. */
  readonly count: number;
  readonly axes: readonly Axis[];
  /** For each kind, the axes that vary it. */
  readonly #axesOf: Readonly<Record<DocumentKind, readonly number[]>>;

  /**
   * @param parts how many of each kind there are
   * @param axes in file order
   */
  constructor(parts: Readonly<Record<PartKind, number>>, axes: readonly Axis[]) {
    this.axes = axes;
    this.sizes = [
      ...DOCUMENT_KINDS.map((kind) => parts[kind]),
      ...axes.map(({ count }) => count),
      parts.cycle,
    ];
    this.count = this.sizes.reduce((product, size) => product * size, 1);
    const axesOf = (kind: DocumentKind) =>
      axes.flatMap(({ paths }, k) => (paths.some((path) => path.kind === kind) ? k : []));
    this.#axesOf = { car: axesOf('car'), store: axesOf('store'), strategy: axesOf('strategy') };
  }

  /** Place of a kind of part among the digits. */
  placeOf(kind: PartKind): number {
    return kind === 'cycle' ? this.sizes.length - 1 : DOCUMENT_KINDS.indexOf(kind);
  }

  /** Place of an axis among the digits. */
  placeOfAxis(axis: number): number {
    return AXES_FROM + axis;
  }

  /**
   * The digits of a combination.
   * @param index number of the combination
   * @param digits written over, one for each of `sizes`
   */
  digits(index: number, digits: Uint32Array): void {
    let rest = index;
    for (let place = this.sizes.length - 1; place >= 0; place--) {
      const size = this.sizes[place]!;
      digits[place] = rest % size;
      rest = Math.floor(rest / size);
    }
  }

  /** The values of a number over the digit of its axis; undefined where no axis has it. */
  columnOf(
    path: string,
  ): { readonly place: number; readonly values: readonly number[] } | undefined {
    for (const [k, { paths, columns }] of this.axes.entries()) {
      const column = paths.findIndex(({ text }) => text === path);
      if (column >= 0) return { place: this.placeOfAxis(k), values: columns[column]! };
    }
    return undefined;
  }

  /** How many documents of a kind there are: each part with each row of the axes that vary it. */
  variantCount(kind: DocumentKind): number {
    return this.#placesOf(kind).reduce((product, place) => product * this.sizes[place]!, 1);
  }

  /** Number of the document of a kind that a combination has. */
  variantAt(kind: DocumentKind, digits: Uint32Array): number {
    let variant = digits[this.placeOf(kind)]!;
    for (const axis of this.#axesOf[kind]) {
      const place = this.placeOfAxis(axis);
      variant = variant * this.sizes[place]! + digits[place]!;
    }
    return variant;
  }

  /** What `variantAt` gave the number for: the part, and the row of each axis that varies it. */
  variant(
    kind: DocumentKind,
    index: number,
  ): {
    readonly part: number;
    readonly rows: readonly { readonly axis: number; readonly row: number }[];
  } {
    const rows: { axis: number; row: number }[] = [];
    let rest = index;
    for (const axis of this.#axesOf[kind].toReversed()) {
      const size = this.sizes[this.placeOfAxis(axis)]!;
      rows.push({ axis, row: rest % size });
      rest = Math.floor(rest / size);
    }
    return { part: rest, rows: rows.toReversed() };
  }

  #placesOf(kind: DocumentKind): number[] {
    return [this.placeOf(kind), ...this.#axesOf[kind].map((axis) => this.placeOfAxis(axis))];
  }
}
