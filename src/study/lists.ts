import type { StudyFile } from '../config/study-file.ts';
import type { ListedCase } from './cases.ts';
import { type CyclePart, listCycles } from './cycles.ts';
import { type DocumentPart, type Listing, listDocuments } from './documents.ts';
import { DOCUMENT_KINDS } from './number-path.ts';
import { PartList } from './part-list.ts';
import { PART_KINDS, type PartKind } from './product.ts';
import type { StudyProblems } from './study-problems.ts';

/** The key of each list in a study file. */
export const LIST_KEYS = {
  car: 'cars',
  store: 'stores',
  strategy: 'strategies',
  cycle: 'cycles',
} as const satisfies Record<PartKind, keyof StudyFile>;

/** All parts of a study. */
export interface Lists {
  readonly car: PartList<DocumentPart>;
  readonly store: PartList<DocumentPart>;
  readonly strategy: PartList<DocumentPart>;
  readonly cycle: PartList<CyclePart>;
}

/**
 * Reads all that the lists of a study name.
 *
 * @param study the parts of its file that are sound in themselves
 * @param listing what it is read with
 * @param notices to which is added what the user should know
 */
export async function listsOf(
  study: Partial<StudyFile>,
  listing: Listing,
  notices: string[],
): Promise<Lists> {
  const { problems } = listing;
  const lists: Lists = {
    car: new PartList('car', problems, notices),
    store: new PartList('store', problems, notices),
    strategy: new PartList('strategy', problems, notices),
    cycle: new PartList('cycle', problems, notices),
  };
  for (const kind of DOCUMENT_KINDS) {
    await listDocuments(
      kind,
      LIST_KEYS[kind],
      entriesOf(kind, study, problems),
      lists[kind],
      listing,
    );
  }
  await listCycles(entriesOf('cycle', study, problems), lists.cycle, problems);
  return lists;
}

/** The entries of a list as they stand in the file; those that hold values only if all of it is sound. */
function entriesOf(
  kind: PartKind,
  study: Partial<StudyFile>,
  { document }: StudyProblems,
): readonly (string | object)[] {
  const key = LIST_KEYS[kind];
  const { value } = document;
  if (value === null || typeof value !== 'object' || !Object.hasOwn(value, key)) return [];
  const entries = (value as Record<string, unknown>)[key];
  if (!Array.isArray(entries)) return [];
  if (study[key] !== undefined) return entries;
  return entries.filter((entry) => typeof entry === 'string' && entry !== '');
}

/** Whether a study has all four lists, each with each of which is a case. */
export function hasProduct({ document }: StudyProblems): boolean {
  return PART_KINDS.every((kind) => hasKey(document.value, LIST_KEYS[kind]));
}

/**
 * Checks that the study has cases at all, and nothing that is about the product where it has none.
 *
 * @param study the parts of its file that are sound in themselves
 * @param problems to which what is wrong is added
 */
export function checkHasCases(study: Partial<StudyFile>, problems: StudyProblems): void {
  if (hasProduct(problems)) return;
  const { value } = problems.document;
  // What is no object at all has a problem already.
  if (value === null || typeof value !== 'object' || Array.isArray(value)) return;
  const missing = PART_KINDS.filter((kind) => !hasKey(value, LIST_KEYS[kind]));
  if (!hasKey(value, 'cases')) {
    for (const kind of missing) {
      problems.at([LIST_KEYS[kind]], {
        code: 'missing-key',
        found: 'no such key',
        expected: `a list of the study's ${LIST_KEYS[kind]}, as "${LIST_KEYS[kind]}": ["${EXAMPLES[kind]}"]`,
        ...(kind === missing[0] && {
          hint: `a study has the lists ${Object.values(LIST_KEYS)
            .map((key) => `\`${key}\``)
            .join(', ')}, or \`cases\` by themselves`,
        }),
      });
    }
  }
  for (const key of ['vary', 'exclude'] as const) {
    if (study[key]?.length === 0 || !hasKey(value, key) || !hasKey(value, 'cases')) continue;
    problems.at([key], {
      code: 'no-product',
      expected: `\`${key}\` only where all four lists are there, whose combinations it is about`,
      hint: `${missing.map((kind) => `\`${LIST_KEYS[kind]}\``).join(', ')} ${missing.length === 1 ? 'is' : 'are'} missing; the numbers of listed cases stand under their \`set\``,
    });
  }
}

const EXAMPLES = { car: 'estate', store: 'rim-45', strategy: 'coast', cycle: 'udds' } as const;

/**
 * Where no product is made of the lists, a part that no case names was listed in vain: most likely
 * another list was forgotten.
 */
export function checkUsed(
  lists: Lists,
  cases: readonly ListedCase[],
  problems: StudyProblems,
): void {
  if (hasProduct(problems)) return;
  const missing = PART_KINDS.filter((kind) => !hasKey(problems.document.value, LIST_KEYS[kind]));
  for (const kind of PART_KINDS) {
    const used = new Set(cases.map(({ parts }) => parts[kind]));
    for (const [index, part] of lists[kind].parts.slice(0, lists[kind].listed).entries()) {
      if (used.has(index)) continue;
      problems.at([LIST_KEYS[kind]], {
        code: 'unused',
        found: `${part.name}, which no case names`,
        expected: 'a list whose parts are used',
        hint: `a product of all lists is made only with ${missing.map((name) => `\`${LIST_KEYS[name]}\``).join(', ')} as well`,
      });
    }
  }
}

function hasKey(value: unknown, key: string): boolean {
  return value !== null && typeof value === 'object' && Object.hasOwn(value, key);
}
