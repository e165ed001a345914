import { suggest } from '../config/suggest.ts';

/** A path with dots alone, whatever stood around its keys: `gearbox.ratios[0]` is `gearbox.ratios.0`. */
export function withDots(text: string): string {
  return text.replace(/\.?\[\s*["']?([^\]"']*)["']?\s*\]?/g, '.$1');
}

/**
 * The number of a document that was meant by a path which leads to none: keys that are not there are
 * taken for misspelt, and then for ones in front of which a part of the way was left out.
 *
 * @param path with dots alone, the kind of the file in front
 * @param document the whole file
 * @returns the path of a number that is there, or undefined where none is near
 */
export function nearPath(path: string, document: unknown): string | undefined {
  const [kind = '', ...keys] = path.split('.');
  return spelt(keys, document, kind) ?? endingIn(keys.join('.'), document, kind);
}

function spelt(keys: readonly string[], value: unknown, before: string): string | undefined {
  const [key, ...rest] = keys;
  if (key === undefined) return typeof value === 'number' ? before : undefined;
  if (value === null || typeof value !== 'object') return undefined;
  const near = Object.hasOwn(value, key)
    ? key
    : Array.isArray(value)
      ? undefined
      : suggest(key, Object.keys(value));
  if (near === undefined) return undefined;
  return spelt(rest, (value as Readonly<Record<string, unknown>>)[near], `${before}.${near}`);
}

function endingIn(ending: string, value: unknown, before: string): string | undefined {
  if (typeof value === 'number') return before.endsWith(`.${ending}`) ? before : undefined;
  if (value === null || typeof value !== 'object') return undefined;
  for (const [key, inside] of Object.entries(value)) {
    const found = endingIn(ending, inside, `${before}.${key}`);
    if (found !== undefined) return found;
  }
  return undefined;
}
