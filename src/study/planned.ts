import { canonicalJson, type InputHashes } from '../config/hash.ts';
import type { StudyFile } from '../config/study-file.ts';
import type { ListedCase } from './cases.ts';
import { Digests } from './digests.ts';
import type { DocumentPart } from './documents.ts';
import { type Exclusion, exclusionsOf } from './exclude.ts';
import type { Lists } from './lists.ts';
import { DOCUMENT_KINDS, type DocumentKind } from './number-path.ts';
import type { Product } from './product.ts';
import type { StudyProblems } from './study-problems.ts';
import type { Setting, Variants } from './variants.ts';

/** More combinations than this are taken for a slip of the finger. */
const MOST_COMBINATIONS = 1_000_000;

/** The combinations of a product that are cases. */
export interface PlannedProduct {
  readonly product: Product;
  /** Their numbers, rising. */
  readonly included: Uint32Array;
  /** Of each variant of each kind (`Product.variantAt`) that a case has. */
  readonly digests: Readonly<Record<DocumentKind, Digests>>;
  readonly exclusions: readonly { readonly text: string; readonly count: number }[];
}

/**
 * Leaves out what is excluded of a product, and checks each document that is left, once.
 *
 * @returns undefined where something is wrong, which is told
 */
export async function planProduct(
  product: Product,
  entries: StudyFile['exclude'],
  lists: Lists,
  variants: Variants,
  problems: StudyProblems,
): Promise<PlannedProduct | undefined> {
  if (product.count > MOST_COMBINATIONS) {
    problems.at([], {
      code: 'too-many-cases',
      found: `${product.sizes.filter((size) => size > 1).join(' × ')} = ${product.count} combinations`,
      expected: `${MOST_COMBINATIONS} at most`,
      hint: 'vary fewer numbers at a time, or in fewer steps',
    });
    return undefined;
  }
  const exclusions = exclusionsOf(entries, product, lists, problems);
  if (exclusions === undefined) return undefined;
  const { included, counts } = leftOf(product, exclusions);
  for (const [k, count] of counts.entries()) {
    if (count > 0) continue;
    problems.at(['exclude', k], {
      code: 'excludes-nothing',
      found: 'no combination that fulfils all of its conditions',
      expected: 'conditions that hold together in some combination of the product',
    });
  }
  if (included.length === 0) {
    problems.at(['exclude'], {
      code: 'excludes-all',
      found: `all of ${product.count} combinations`,
      expected: 'exclusions that leave a case',
    });
  }
  return {
    product,
    included,
    digests: await digestsOf(product, included, lists, variants),
    exclusions: exclusions.map(({ entry }, k) => ({
      text: JSON.stringify(entry),
      count: counts[k]!,
    })),
  };
}

function leftOf(
  product: Product,
  exclusions: readonly Exclusion[],
): { readonly included: Uint32Array; readonly counts: readonly number[] } {
  const digits = new Uint32Array(product.sizes.length);
  const included = new Uint32Array(product.count);
  const counts = exclusions.map(() => 0);
  let count = 0;
  for (let index = 0; index < product.count; index++) {
    product.digits(index, digits);
    let isLeft = true;
    for (const [k, exclusion] of exclusions.entries()) {
      if (!exclusion.holds(digits)) continue;
      counts[k]!++;
      isLeft = false;
    }
    if (isLeft) included[count++] = index;
  }
  return { included: included.slice(0, count), counts };
}

async function digestsOf(
  product: Product,
  included: Uint32Array,
  lists: Lists,
  variants: Variants,
): Promise<Readonly<Record<DocumentKind, Digests>>> {
  const digits = new Uint32Array(product.sizes.length);
  const used = DOCUMENT_KINDS.map((kind) => new Uint8Array(product.variantCount(kind)));
  for (const index of included) {
    product.digits(index, digits);
    for (const [k, kind] of DOCUMENT_KINDS.entries()) used[k]![product.variantAt(kind, digits)] = 1;
  }
  const ofKind = async (kind: DocumentKind, isUsed: Uint8Array): Promise<Digests> => {
    const digests = new Digests(isUsed.length);
    for (let variant = 0; variant < isUsed.length; variant++) {
      if (isUsed[variant] !== 1) continue;
      const { part, rows } = product.variant(kind, variant);
      const settings = rows.flatMap(({ axis, row }) => settingsOf(product, kind, axis, row));
      const digest = await variants.digest(kind, lists[kind].parts[part]!, settings, exclude);
      if (digest !== undefined) digests.set(variant, digest);
    }
    return digests;
  };
  return {
    car: await ofKind('car', used[0]!),
    store: await ofKind('store', used[1]!),
    strategy: await ofKind('strategy', used[2]!),
  };
}

function settingsOf(product: Product, kind: DocumentKind, axis: number, row: number): Setting[] {
  const { paths, columns, placeOf } = product.axes[axis]!;
  return paths.flatMap((path, k) =>
    path.kind === kind ? { path, value: columns[k]![row]!, place: placeOf(row) } : [],
  );
}

/** How a combination of numbers is left out. */
function exclude(part: DocumentPart, settings: readonly Setting[]): string {
  const { kind } = settings[0]!.path;
  const conditions = settings.map(({ path, value }) => [path.text, value] as const);
  const entry = JSON.stringify(Object.fromEntries([[kind, part.name], ...conditions]));
  return `leave such combinations out: "exclude": [${entry}]`;
}

/**
 * Checks the documents of listed cases, each once.
 *
 * @returns for each case the digests of its inputs; undefined where something is wrong, which is told
 */
export async function planListed(
  cases: readonly ListedCase[],
  lists: Lists,
  variants: Variants,
): Promise<(InputHashes | undefined)[]> {
  const known = new Map<string, string | undefined>();
  const digestOf = async (kind: DocumentKind, { parts, settings }: ListedCase) => {
    const part = lists[kind].parts[parts[kind]]!;
    const own = settings.filter(({ path }) => path.kind === kind);
    const key = canonicalJson([part.digest, own.map(({ path, value }) => [path.text, value])]);
    if (!known.has(key)) known.set(key, await variants.digest(kind, part, own, mendSet));
    return known.get(key);
  };
  const inputs: (InputHashes | undefined)[] = [];
  for (const listed of cases) {
    const car = await digestOf('car', listed);
    const store = await digestOf('store', listed);
    const strategy = await digestOf('strategy', listed);
    const cycle = lists.cycle.parts[listed.parts.cycle]!.digest;
    const isWhole = car !== undefined && store !== undefined && strategy !== undefined;
    inputs.push(isWhole ? { car, store, strategy, cycle } : undefined);
  }
  return inputs;
}

function mendSet(): string {
  return 'mend the `set` of this case, or leave the case out';
}
