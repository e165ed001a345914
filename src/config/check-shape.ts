import type * as z from 'zod/mini';
import { type DocumentProblems, type JsonDocument, shown } from './document.ts';
import type { JsonPath } from './json.ts';
import { parseNumber } from './number.ts';
import { suggest } from './suggest.ts';
import { keyMeant } from './unknown-key.ts';

type Issue = z.core.$ZodIssue;

/** Holds a value against a schema, or hands over what came of the very same one before. */
export type ShapeParser = (
  schema: z.ZodMiniType,
  value: unknown,
) => z.core.util.SafeParseResult<unknown>;

const parseAnew: ShapeParser = (schema, value) => schema.safeParse(value);

/**
 * Holds a document against a schema and adds every problem. What is sound of it is given back, key
 * by key, so that it can be checked further although something else is wrong.
 *
 * @param schema of the whole file
 * @param document as it was read
 * @param problems to which the problems are added
 * @param parse what each key's value is parsed with
 * @returns the sound parts, with the defaults of their keys; all of them if there is no problem
 */
export function checkShape<Schema extends z.ZodMiniObject>(
  schema: Schema,
  document: JsonDocument,
  problems: DocumentProblems,
  parse: ShapeParser = parseAnew,
): Partial<z.output<Schema>> {
  const { value } = document;
  const parts = isObject(value) ? value : {};
  const sound: Record<string, unknown> = {};
  let isWhole =
    isObject(value) && Object.keys(value).every((key) => Object.hasOwn(schema.shape, key));
  for (const [key, part] of Object.entries(schema.shape)) {
    const parsed = parse(part as z.ZodMiniType, parts[key]);
    if (!parsed.success) isWhole = false;
    else if (parsed.data !== undefined) sound[key] = parsed.data;
  }
  if (!isWhole) addIssues(schema.safeParse(value).error?.issues ?? [], value, problems);
  return sound as Partial<z.output<Schema>>;
}

function isObject(value: unknown): value is Record<string, unknown> {
  return value !== null && typeof value === 'object';
}

function addIssues(issues: readonly Issue[], value: unknown, problems: DocumentProblems): void {
  const flat = issues.flatMap((issue) => leaves(issue, value));
  const renamed = flat.flatMap((issue) =>
    issue.code === 'unrecognized_keys' ? addUnknownKeys(issue, value, problems) : [],
  );
  const told = new Set<string>();
  for (const issue of flat) {
    // The lengths of a list are checked of a text in its place, too, and say the same once more.
    const words = `${keyOf(issue.path)} ${issue.message}`;
    if (told.has(words)) continue;
    told.add(words);
    // A key that stands there under another name is not missing as well.
    if (issue.code === 'unrecognized_keys' || renamed.includes(keyOf(issue.path))) continue;
    const found = valueAt(value, issue.path);
    const hint = hintFor(issue, found);
    problems.add(issue.path, {
      code: codeOf(issue, found),
      found: found === undefined && issue.path.length > 0 ? 'no such key' : shown(found),
      expected: expectation(issue),
      ...(hint === undefined ? {} : { hint }),
    });
  }
}

/**
 * An issue of a union is replaced by those of the alternative that was meant: the one that knows
 * most of the value's keys and, of those, came farthest into it. Where none came beyond its outermost form, the union speaks for itself.
 */
function leaves(issue: Issue, value: unknown): Issue[] {
  if (issue.code !== 'invalid_union' || issue.errors.length === 0) return [issue];
  const inside = issue.errors.filter((errors) => !errors.some(isOfWholeForm));
  const meant = inside.toSorted((a, b) => strangers(a) - strangers(b) || a.length - b.length)[0];
  if (meant === undefined) return [issue];
  return meant.flatMap((inner) =>
    leaves({ ...inner, path: [...issue.path, ...inner.path] } as Issue, value),
  );
}

/** How many keys of the value itself an alternative does not know. */
function strangers(issues: readonly Issue[]): number {
  return issues.reduce(
    (sum, issue) =>
      issue.code === 'unrecognized_keys' && issue.path.length === 0 ? sum + issue.keys.length : sum,
    0,
  );
}

function isOfWholeForm(issue: Issue): boolean {
  return (
    issue.path.length === 0 && (issue.code === 'invalid_type' || issue.code === 'invalid_value')
  );
}

/** Adds each unknown key; returns the keys that were meant by them. */
function addUnknownKeys(
  issue: Extract<Issue, { code: 'unrecognized_keys' }>,
  value: unknown,
  problems: DocumentProblems,
): string[] {
  const known = issue.message.split(', ');
  const meant: string[] = [];
  for (const key of issue.keys) {
    const path = [...issue.path, key];
    const near = keyMeant(key, known);
    if (near !== undefined) meant.push(keyOf([...issue.path, near.key]));
    problems.add(path, {
      code: 'unknown-key',
      found: shown(valueAt(value, path)),
      expected: `one of the keys ${known.map((name) => `\`${name}\``).join(', ')}`,
      hint: near?.hint ?? 'leave it out; remarks stand under "notes" at the top of the file',
    });
  }
  return meant;
}

/** The message of the schema; for a tag that nothing answers to, the tags there are. */
function expectation(issue: Issue): string {
  const words = wordsOf(issue);
  if (issue.code !== 'invalid_union' || words.length === 0) return issue.message;
  return words.map((word) => `"${word}"`).join(' or ');
}

function hintFor(issue: Issue, found: unknown): string | undefined {
  if (typeof found !== 'string') return undefined;
  if (
    issue.code === 'invalid_type' &&
    issue.expected === 'number' &&
    parseNumber(found) !== undefined
  ) {
    return 'numbers stand without quotation marks';
  }
  const near = suggest(found, wordsOf(issue));
  return near === undefined ? undefined : `did you mean "${near}"?`;
}

/** The words that an issue would have accepted, where it is about a word. */
function wordsOf(issue: Issue): string[] {
  if (issue.code === 'invalid_value') return issue.values.map(String);
  return 'options' in issue && Array.isArray(issue.options) ? issue.options.map(String) : [];
}

function codeOf(issue: Issue, found: unknown): string {
  if (found === undefined) return 'missing-key';
  switch (issue.code) {
    case 'too_small':
    case 'too_big':
      return issue.origin === 'string' ? 'empty-text' : 'out-of-range';
    case 'invalid_value':
    case 'invalid_union':
      return 'unknown-value';
    default:
      return 'wrong-type';
  }
}

function keyOf(path: JsonPath): string {
  return JSON.stringify(path.map(String));
}

function valueAt(value: unknown, path: JsonPath): unknown {
  let inner = value;
  for (const part of path) {
    if (inner === null || typeof inner !== 'object') return undefined;
    inner = (inner as Record<PropertyKey, unknown>)[part];
  }
  return inner;
}
