import { createHash } from 'node:crypto';

/** Hexadecimal digits of a case's hash: 64 bits, enough to tell millions of cases apart. */
const DIGITS = 16;

/**
 * JSON with sorted keys and no blanks, so that equal contents give equal texts whatever the order
 * in which they were written.
 *
 * @param value JSON-able; keys whose value is undefined are left out
 */
export function canonicalJson(value: unknown): string {
  return JSON.stringify(value, (_key, inner: unknown) => {
    if (inner === null || typeof inner !== 'object' || Array.isArray(inner)) return inner;
    return Object.fromEntries(
      Object.entries(inner).toSorted(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0)),
    );
  });
}

/** SHA-256 in hexadecimal digits. */
export function sha256(content: string | Uint8Array): string {
  return createHash('sha256').update(content).digest('hex');
}

/**
 * What a case is known by: the content of its inputs and the version of the model, never the place
 * of a file or its layout.
 *
 * @param identities of car, store, strategy and cycle, by those names
 * @param modelVersion changes whenever the same inputs may give other results
 * @returns 16 hexadecimal digits
 */
export function caseHash(
  identities: Readonly<Record<string, unknown>>,
  modelVersion: string,
): string {
  return sha256(canonicalJson({ inputs: identities, model: modelVersion })).slice(0, DIGITS);
}
