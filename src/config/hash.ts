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

/**
 * JSON with sorted keys and no blanks, so that equal contents give equal texts whatever the order
 * in which they were written.
 *
 * @param value JSON-able; keys whose value is undefined are left out
 */
export function canonicalJson(value: unknown): string {
  return JSON.stringify(sorted(value));
}

/** The same value with the keys of its objects in order: a replacer would be asked for every number. */
function sorted(value: unknown): unknown {
  if (value === null || typeof value !== 'object') return value;
  if (Array.isArray(value)) return value.map(sorted);
  const keys = Object.keys(value).toSorted();
  return Object.fromEntries(
    keys.map((key) => [key, sorted((value as Record<string, unknown>)[key])]),
  );
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
