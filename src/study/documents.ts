import { type JsonDocument, readDocument } from '../config/document.ts';
import { namedFrom } from '../config/files.ts';
import { inputHash } from '../config/hash.ts';
import { type JsonPath, pathText } from '../config/json.ts';
import { InputError, type Problem } from '../config/problem.ts';
import { shippedPath } from '../config/shipped.ts';
import { globbed, isGlob } from './named-files.ts';
import { type DocumentKind, valueAt } from './number-path.ts';
import type { PartCheck } from './part-check.ts';
import type { Listed, PartList } from './part-list.ts';
import type { StudyProblems } from './study-problems.ts';

/** A car, store or strategy that nothing is wrong with as its file says it. */
export interface DocumentPart extends Listed {
  readonly document: JsonDocument;
  /** What decides its results, with the defaults of its keys. */
  readonly identity: object;
}

/** What the lists of a study are made with. */
export interface Listing {
  readonly check: PartCheck;
  readonly problems: StudyProblems;
}

/**
 * Lists the parts of one kind.
 *
 * @param kind of the parts
 * @param entries of the study's list, of which those that are no text and no object are passed over
 * @param key of that list in the study
 * @param list to which they are added
 */
export async function listDocuments(
  kind: DocumentKind,
  key: string,
  entries: readonly unknown[],
  list: PartList<DocumentPart>,
  listing: Listing,
): Promise<void> {
  for (const [index, entry] of entries.entries()) {
    const place = [key, index];
    const documents =
      typeof entry === 'string'
        ? namedDocuments(kind, entry, place, listing.problems)
        : inlineDocuments(entry, place, listing.problems);
    for (const document of documents) {
      const isInline = typeof entry !== 'string';
      const part = await documentPart(kind, document, place, listing, isInline);
      if (part !== undefined) list.list(part, place);
    }
  }
}

/**
 * The part that a case names by what the list could name as well, but no pattern.
 * @returns undefined where something is wrong with it
 */
export async function documentNamed(
  kind: DocumentKind,
  text: string,
  place: JsonPath,
  listing: Listing,
): Promise<DocumentPart | undefined> {
  const document = attempt(place, listing.problems, () => readNamed(kind, text, listing));
  return document && documentPart(kind, document, place, listing);
}

function namedDocuments(
  kind: DocumentKind,
  text: string,
  place: JsonPath,
  problems: StudyProblems,
): JsonDocument[] {
  const { folder } = problems.document;
  const read = (path: string) =>
    attempt(place, problems, () => readNamed(kind, path, { problems }));
  if (!isGlob(text, folder)) return [read(text)].filter((document) => document !== undefined);
  const paths = attempt(place, problems, () => globbed(text, problems.document)) ?? [];
  return paths
    .map((path) =>
      attempt(place, problems, () => readDocument(namedFrom(folder, path), `a ${kind} file`)),
    )
    .filter((document) => document !== undefined);
}

function readNamed(
  kind: DocumentKind,
  text: string,
  { problems }: Pick<Listing, 'problems'>,
): JsonDocument {
  const path = shippedPath(kind, text, problems.document.folder);
  return readDocument(path, `a ${kind} file`);
}

/** A document that stands in the study itself: its lines are those of the study. */
function inlineDocuments(
  value: unknown,
  place: JsonPath,
  { document }: StudyProblems,
): JsonDocument[] {
  if (value === null || typeof value !== 'object') return [];
  const { file, folder } = document;
  return [
    {
      value,
      file,
      folder,
      lineOf: (path) => document.lineOf([...place, ...path]),
      duplicates: [],
    },
  ];
}

async function documentPart(
  kind: DocumentKind,
  document: JsonDocument,
  place: JsonPath,
  { check, problems }: Listing,
  isInline = false,
): Promise<DocumentPart | undefined> {
  try {
    const identity = await check.identity(kind, document);
    const name = String(valueAt(document.value, ['name']));
    const from = isInline ? `\`${pathText(place)}\`` : document.file;
    return { name, digest: inputHash(identity), from, document, identity };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    for (const problem of error.problems) {
      if (!isInline || problem.file !== document.file) problems.others([problem]);
      else problems.inline(inStudy(problem, place));
    }
    return undefined;
  }
}

/** A problem of a document that stands in the study, with its path from the top of the study. */
export function inStudy(problem: Problem, place: JsonPath): Problem {
  const { path } = problem;
  const outer = pathText(place);
  if (path === undefined) return { ...problem, path: outer };
  return { ...problem, path: path.startsWith('[') ? `${outer}${path}` : `${outer}.${path}` };
}

function attempt<T>(place: JsonPath, problems: StudyProblems, work: () => T): T | undefined {
  try {
    return work();
  } catch (error) {
    problems.of(place, error);
    return undefined;
  }
}
