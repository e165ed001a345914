import { createHash } from 'node:crypto';

/** Hexadecimal digits of a case's hash: 64 bits, enough to tell millions of cases apart. */
const DIGITS = 16;

/** Digests of the inputs of a case. */
export interface InputHashes {
  readonly car: string;
  readonly store: string;
  readonly strategy: string;
  readonly cycle: string;
}

/** Texts of what never changes; undefined until one is asked for. */
const TEXTS = new WeakMap<object, string | undefined>();

/** Promises that a value is never changed from now on, so that its canonical text is made once. */
export function unchanging<T extends object>(value: T): T {
  if (!TEXTS.has(value)) TEXTS.set(value, undefined);
  return value;
}

/**
 * JSON with sorted keys and no blanks, so that equal contents give equal texts whatever the order
 * in which they were written.
 *
 * @param value JSON-able; keys whose value is undefined are left out
 */
export function canonicalJson(value: unknown): string {
  return textOf(value) ?? 'null';
}

/** Undefined for what JSON leaves out of objects. */
function textOf(value: unknown): string | undefined {
  if (value === null || typeof value !== 'object') return JSON.stringify(value);
  const known = TEXTS.get(value);
  if (known !== undefined) return known;
  const text = Array.isArray(value) ? textOfList(value) : textOfObject(value);
  if (TEXTS.has(value)) TEXTS.set(value, text);
  return text;
}

function textOfList(list: readonly unknown[]): string {
  return `[${list.map((entry) => textOf(entry) ?? 'null').join(',')}]`;
}

function textOfObject(value: object): string {
  const entries: string[] = [];
  for (const key of Object.keys(value).toSorted()) {
    const text = textOf((value as Record<string, unknown>)[key]);
    if (text !== undefined) entries.push(`${JSON.stringify(key)}:${text}`);
  }
  return `{${entries.join(',')}}`;
}

/** SHA-256 in hexadecimal digits. */
export function sha256(content: string | Uint8Array): string {
  return createHash('sha256').update(content).digest('hex');
}

/** Digest of one input of a case: its content, whatever the place of its file or its layout. */
export function inputHash(identity: unknown): string {
  return sha256(canonicalJson(identity));
}

/**
 * What a case is known by: the content of its inputs and the version of the model, never the place
 * of a file or its layout.
 *
 * @param inputs digests of car, store, strategy and cycle (`inputHash`)
 * @param modelVersion changes whenever the same inputs may give other results
 * @returns 16 hexadecimal digits
 */
export function caseHash(inputs: InputHashes, modelVersion: string): string {
  const { car, store, strategy, cycle } = inputs;
  return sha256([modelVersion, car, store, strategy, cycle].join(' ')).slice(0, DIGITS);
}
