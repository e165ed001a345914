import { checkShape } from '../config/check-shape.ts';
import { type JsonDocument, readDocument, shown } from '../config/document.ts';
import { shippedPath } from '../config/shipped.ts';
import { type TuneFile, tuneFile } from '../config/tune-file.ts';
import { cycleSharesOf } from '../study/cycle-shares.ts';
import { type CyclePart, cyclesIn } from '../study/cycles.ts';
import {
  type DocumentPart,
  documentInline,
  documentNamed,
  type Listing,
} from '../study/documents.ts';
import type { Lists } from '../study/lists.ts';
import { isGlob } from '../study/named-files.ts';
import { DOCUMENT_KINDS, type DocumentKind } from '../study/number-path.ts';
import { PartCheck } from '../study/part-check.ts';
import { PartList } from '../study/part-list.ts';
import { PART_KINDS } from '../study/product.ts';
import { sourcesOf } from '../study/sources.ts';
import { StudyProblems } from '../study/study-problems.ts';
import { gatesOf } from './load-constraints.ts';
import { numbersOf } from './load-numbers.ts';
import type { Tune, TuneCycle } from './tune.ts';

/** Sets of numbers that are tried for each number, where the file does not say. */
const EVALUATIONS_PER_NUMBER = 200;

/**
 * Reads a tune and everything that it names, and checks it all.
 *
 * @param path of its JSON file, or the bare name of a tune of the example set
 * @param limit longest that a plug-in may take to load [s]
 * @returns the tune, whose check the caller ends
 * @throws InputError with every problem of it and of the files that it names
 */
export async function loadTune(path: string, limit?: number): Promise<Tune> {
  const check = new PartCheck(limit);
  try {
    return await tuneFrom(readDocument(shippedPath('tune', path), 'a tune file'), check);
  } catch (error) {
    check.end();
    throw error;
  }
}

/**
 * A tune from a document that is already read.
 * @param document the files that it names are found from its folder
 * @param check of the parts that it names
 * @throws InputError with every problem of it and of the files that it names
 */
export async function tuneFrom(document: JsonDocument, check = new PartCheck()): Promise<Tune> {
  const problems = new StudyProblems(document);
  const file = checkShape(tuneFile, document, problems.own);
  const notices: string[] = [];
  const listing: Listing = { check, problems };
  const lists = emptyLists(problems, notices);
  for (const kind of DOCUMENT_KINDS) {
    const part = await partOf(kind, file, listing);
    if (part !== undefined) lists[kind].list(part, [kind]);
  }
  const tuned = await listTuned(file, lists, problems);
  const heldBack = await listHeldBack(file, lists, problems);
  notices.push(...overlapWords(tuned, heldBack));
  const cycles = cyclesOf(file, tuned, heldBack, problems);
  const numbers = numbersOf(file.vary ?? [], lists, listing);
  const constraints = gatesOf(file.constraints ?? [], tuned.map(nameOf), problems);
  problems.throwIfAny();

  const { name, objective, budget } = file as TuneFile;
  const sources = sourcesOf(
    lists,
    numbers.map(({ path }) => path.text),
  );
  const drives = lists.cycle.parts.flatMap((cycle) => cycle.drives);
  const part = (kind: DocumentKind) => lists[kind].parts[0]!;
  const parts = { car: part('car'), store: part('store'), strategy: part('strategy') };
  return {
    name,
    parts,
    cycles,
    numbers,
    objective,
    constraints,
    evaluations: budget.evaluations ?? EVALUATIONS_PER_NUMBER * numbers.length,
    seed: budget.seed,
    inputs: PART_KINDS.flatMap((kind) =>
      lists[kind].parts.map(({ name, digest: hash }) => ({ kind, name, hash })),
    ),
    sources,
    check: listing.check,
    files: [
      ...new Set([
        document.file,
        ...Object.values(parts).map((one) => one.document.file),
        ...drives.filter(({ form }) => form !== 'built-in').map((drive) => drive.file),
        ...listing.check.files,
      ]),
    ],
    drives: [...new Map(drives.map((drive) => [drive.file, drive])).values()],
    notices,
  };
}

function nameOf({ name }: CyclePart): string {
  return name;
}

function emptyLists(problems: StudyProblems, notices: string[]): Lists {
  return {
    car: new PartList('car', problems, notices),
    store: new PartList('store', problems, notices),
    strategy: new PartList('strategy', problems, notices),
    cycle: new PartList('cycle', problems, notices),
  };
}

/** The one car, store or strategy; undefined where something is wrong with it, which is told. */
async function partOf(
  kind: DocumentKind,
  file: Partial<TuneFile>,
  listing: Listing,
): Promise<DocumentPart | undefined> {
  // Where the schema has something against it, that is told already.
  if (file[kind] === undefined) return undefined;
  const { document } = listing.problems;
  const entry = (document.value as Record<string, unknown>)[kind];
  if (typeof entry !== 'string') return documentInline(kind, entry, [kind], listing);
  if (isGlob(entry, document.folder)) {
    listing.problems.at([kind], {
      code: 'pattern',
      found: shown(entry),
      expected: `one ${kind}, and no pattern: the numbers of one file are tuned`,
    });
    return undefined;
  }
  return documentNamed(kind, entry, [kind], listing);
}

async function listTuned(
  file: Partial<TuneFile>,
  lists: Lists,
  problems: StudyProblems,
): Promise<readonly CyclePart[]> {
  const entries = entriesOf(file, 'cycles', problems);
  const { value } = problems.document;
  const isObject = value !== null && typeof value === 'object' && !Array.isArray(value);
  if (isObject && !Object.hasOwn(value, 'cycles')) {
    problems.at(['cycles'], {
      code: 'missing-key',
      found: 'no such key',
      expected: 'a list of the cycles to tune on, as "cycles": ["udds", "nycc"]',
    });
  }
  for await (const { part, place } of cyclesIn('cycles', entries, problems)) {
    lists.cycle.list(part, place);
  }
  return [...lists.cycle.parts];
}

/** A cycle that numbers are tuned on says nothing of what they are worth elsewhere. */
async function listHeldBack(
  file: Partial<TuneFile>,
  lists: Lists,
  problems: StudyProblems,
): Promise<readonly CyclePart[]> {
  const tuned = lists.cycle.parts.length;
  const entries = entriesOf(file, 'held_back', problems);
  for await (const { part, place } of cyclesIn('held_back', entries, problems)) {
    const index = lists.cycle.named(part, place);
    if (index >= tuned) continue;
    problems.at(place, {
      code: 'held-back-tuned',
      found: `${part.name}, which stands under \`cycles\` too`,
      expected: 'a cycle that the numbers are not tuned on',
      hint: 'only driving that the search has not seen shows what its numbers are worth',
    });
  }
  return lists.cycle.parts.slice(tuned);
}

/** Another piece of a drive may be held back, but the same one driven twice is no other driving. */
function overlapWords(tuned: readonly CyclePart[], heldBack: readonly CyclePart[]): string[] {
  const filesOf = ({ drives }: CyclePart) => drives.map(({ file }) => file);
  return heldBack.flatMap((held) => {
    const files = filesOf(held);
    const same = tuned.filter((cycle) => filesOf(cycle).some((file) => files.includes(file)));
    if (same.length === 0) return [];
    const names = same.map(nameOf).join(', ');
    return `The held-back cycle ${held.name} is made from the same drive as ${names}, on which the numbers are tuned: only where it is other driving does it show what they are worth elsewhere.`;
  });
}

/** The entries of a list as they stand in the file; those that hold values only if it is sound. */
function entriesOf(
  file: Partial<TuneFile>,
  key: 'cycles' | 'held_back',
  { document }: StudyProblems,
): readonly unknown[] {
  const entries = (document.value as Record<string, unknown> | null)?.[key];
  if (!Array.isArray(entries)) return [];
  if (file[key] !== undefined) return entries;
  return entries.filter((entry) => typeof entry === 'string' && entry !== '');
}

/**
 * Shares are made within each group by itself, so that not even the rounding of a share of a tuned
 * cycle hangs on what is held back.
 */
function cyclesOf(
  { cycle_shares: given }: Partial<TuneFile>,
  tuned: readonly CyclePart[],
  heldBack: readonly CyclePart[],
  problems: StudyProblems,
): TuneCycle[] {
  const heldNames = heldBack.map(nameOf);
  const shares = Object.entries(given ?? {});
  const own = (isHeld: boolean) =>
    Object.fromEntries(shares.filter(([name]) => heldNames.includes(name) === isHeld));
  const group = (parts: readonly CyclePart[], isHeldBack: boolean): TuneCycle[] => {
    const ownShares = own(isHeldBack);
    const isGiven = isHeldBack ? Object.keys(ownShares).length > 0 : given !== undefined;
    const made = isGiven ? cycleSharesOf(ownShares, parts.map(nameOf), problems) : null;
    return parts.map(({ name, digest }) => ({
      name,
      digest,
      share: made === null ? 1 / parts.length : made[name]!,
      isHeldBack,
    }));
  };
  return [...group(tuned, false), ...group(heldBack, true)];
}
