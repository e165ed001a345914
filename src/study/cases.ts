import { shown } from '../config/document.ts';
import type { JsonPath } from '../config/json.ts';
import { InputError } from '../config/problem.ts';
import { shippedPath } from '../config/shipped.ts';
import type { StudyFile } from '../config/study-file.ts';
import { suggest } from '../config/suggest.ts';
import { checkPath } from './check-paths.ts';
import { cycleNamed } from './cycles.ts';
import { documentNamed, type Listing } from './documents.ts';
import { LIST_KEYS, type Lists } from './lists.ts';
import { isCycleGlob, isGlob } from './named-files.ts';
import { type DocumentKind, isFault, parseNumberPath } from './number-path.ts';
import type { PartIndices } from './plan.ts';
import { PART_KINDS, type PartKind } from './product.ts';
import type { Setting } from './variants.ts';

/** A case that a study lists by itself. */
export interface ListedCase {
  readonly parts: PartIndices;
  readonly settings: readonly Setting[];
}

type Entry = StudyFile['cases'][number];

/**
 * The cases that a study lists by themselves, in file order.
 *
 * @param entries of the study file
 * @param lists of its parts, to which those are added that only a case names
 * @param listing what else parts are listed with
 */
export async function casesOf(
  entries: readonly Entry[],
  lists: Lists,
  listing: Listing,
): Promise<ListedCase[]> {
  const cases: ListedCase[] = [];
  for (const [k, entry] of entries.entries()) {
    const place = ['cases', k];
    const parts: Partial<Record<PartKind, number>> = {};
    for (const kind of PART_KINDS) {
      const index = await partOf(kind, entry[kind], place, lists, listing);
      if (index !== undefined) parts[kind] = index;
    }
    const { car, store, strategy, cycle } = parts;
    const settings = settingsOf(entry.set, [...place, 'set'], parts, lists, listing);
    if (car === undefined || store === undefined) continue;
    if (strategy === undefined || cycle === undefined) continue;
    if (settings !== undefined) cases.push({ parts: { car, store, strategy, cycle }, settings });
  }
  return cases;
}

async function partOf(
  kind: PartKind,
  text: string | undefined,
  place: JsonPath,
  lists: Lists,
  listing: Listing,
): Promise<number | undefined> {
  const { problems } = listing;
  const list = lists[kind];
  const at = [...place, kind];
  if (text === undefined) {
    if (list.listed === 1) return 0;
    // Where the list itself is wrong, that is told already.
    if (list.listed > 1 || !hasList(kind, problems.document.value)) {
      problems.at(at, {
        code: 'missing-key',
        found: 'no such key',
        expected: `the ${kind} of the case, since the study lists ${list.listed === 0 ? 'none' : `${list.listed} of them`} under \`${LIST_KEYS[kind]}\``,
      });
    }
    return undefined;
  }
  const known = list.indexOf(text);
  if (known !== undefined) return known;
  const { folder } = problems.document;
  if (kind === 'cycle' ? isCycleGlob(text, folder) : isGlob(text, folder)) {
    problems.at(at, {
      code: 'pattern',
      found: shown(text),
      expected: `one ${kind}, and no pattern`,
      hint: `patterns stand in the list \`${LIST_KEYS[kind]}\``,
    });
    return undefined;
  }
  if (kind === 'cycle') {
    const part = await cycleNamed(text, at, problems);
    return part && lists.cycle.named(part, at);
  }
  if (!isThere(kind, text, folder)) {
    const names = list.parts.map(({ name }) => name);
    const near = suggest(text, names);
    if (near !== undefined) {
      problems.at(at, {
        code: `unknown-${kind}`,
        found: shown(text),
        expected: `one that the study lists (${names.join(', ')}), the bare name of a shipped example, or a path`,
        hint: `did you mean "${near}"?`,
      });
      return undefined;
    }
  }
  const part = await documentNamed(kind, text, at, listing);
  return part && lists[kind].named(part, at);
}

/** Whether a text stands for a file, though perhaps for none that exists. */
function isThere(kind: DocumentKind, text: string, folder: string): boolean {
  try {
    shippedPath(kind, text, folder);
    return true;
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return false;
  }
}

function hasList(kind: PartKind, study: unknown): boolean {
  return Object.hasOwn(study as object, LIST_KEYS[kind]);
}

function settingsOf(
  set: Entry['set'],
  at: JsonPath,
  parts: Partial<Record<PartKind, number>>,
  lists: Lists,
  { check, problems }: Listing,
): Setting[] | undefined {
  const settings = Object.entries(set).map(([text, value]): Setting | undefined => {
    const place = { path: [...at, text] };
    const path = parseNumberPath(text);
    if (isFault(path)) {
      problems.at(place.path, path);
      return undefined;
    }
    const index = parts[path.kind];
    if (index === undefined) return undefined;
    const part = lists[path.kind].parts[index]!;
    if (!checkPath(path, [part], place, { check, problems })) return undefined;
    return { path, value, place };
  });
  const sound = settings.filter((setting) => setting !== undefined);
  return sound.length === settings.length ? sound : undefined;
}
