import { type Fault, shown } from '../config/document.ts';
import { type JsonPath, pathText } from '../config/json.ts';
import { suggest } from '../config/suggest.ts';
import { nearPath, withDots } from './near-path.ts';

/** The parts of a case that are files of numbers, any of which may be varied. */
export const DOCUMENT_KINDS = ['car', 'store', 'strategy'] as const;

export type DocumentKind = (typeof DOCUMENT_KINDS)[number];

/** Where a number stands: `store.rotor.energy_at_max_kJ`, `car.gearbox.ratios.0`. */
export interface NumberPath {
  /** As the user wrote it. */
  readonly text: string;
  readonly kind: DocumentKind;
  /** Within the file of that kind. */
  readonly keys: JsonPath;
  /** The same as it stands in problems of that file: `gearbox.ratios[0]`. */
  readonly inFile: string;
}

/** A path that leads nowhere, whatever the files say. */
export function isFault(path: NumberPath | Fault): path is Fault {
  return 'code' in path;
}

/**
 * Reads a path.
 *
 * @param text the part, then its keys with dots between them; entries of a list count from 0
 */
export function parseNumberPath(text: string): NumberPath | Fault {
  const [kind = '', ...names] = text.split('.');
  const known = DOCUMENT_KINDS.find((name) => name === kind);
  const keys = names.map((name) => (/^(?:0|[1-9]\d*)$/.test(name) ? Number(name) : name));
  if (known !== undefined && keys.length > 0 && !keys.includes('')) {
    return { text, kind: known, keys, inFile: pathText(keys) };
  }
  const near = suggest(kind, DOCUMENT_KINDS);
  const dotted = withDots(text);
  const hint =
    dotted !== text && !isFault(parseNumberPath(dotted))
      ? `did you mean \`${dotted}\`?`
      : known !== undefined
        ? `what follows \`${known}.\` is the key of a number, or the keys that lead to it with dots between them`
        : kind === 'cycle'
          ? 'a cycle has no numbers to vary: list one for each speed factor, as "udds@0.95"'
          : near !== undefined
            ? `did you mean \`${near}\`?`
            : 'a path begins with the kind of the file that the number stands in';
  return {
    code: 'unknown-path',
    found: shown(text),
    expected:
      'a path such as `car.mass_kg`, `store.rotor.energy_at_max_kJ` or `strategy.coast.floor_pct`',
    hint,
  };
}

/** What stands at a path of a document; undefined where nothing does. */
export function valueAt(document: unknown, keys: JsonPath): unknown {
  let value = document;
  for (const key of keys) value = inner(value, key);
  return value;
}

/** A copy of a document with another number at a path whose parent is there. */
export function withNumber(document: unknown, keys: JsonPath, value: number): unknown {
  const [key, ...rest] = keys;
  if (key === undefined) return value;
  const changed = withNumber(inner(document, key), rest, value);
  if (!Array.isArray(document)) return { ...(document as object), [key]: changed };
  return document.map((entry: unknown, index) => (index === key ? changed : entry));
}

/**
 * Why a number cannot be set in a file: the way to it is not there, or what stands there is no
 * number. A key that is not there but could be is no fault of this kind; the schema knows.
 *
 * @param path of the number
 * @param document the whole file
 * @param mayBeNew whether the key of the number itself may be one that is not there
 * @returns undefined if nothing is wrong
 */
export function pathFault(path: NumberPath, document: unknown, mayBeNew = true): Fault | undefined {
  const dotted = withDots(path.text);
  if (dotted !== path.text) return bracketFault(path, dotted, document, mayBeNew);
  let value = document;
  for (const [depth, key] of path.keys.entries()) {
    const isLast = depth === path.keys.length - 1;
    const next = inner(value, key);
    if (isLast && next === undefined && mayBeNew && isOpen(value, path)) return undefined;
    if (next === undefined) return missing(path, depth, value, document, mayBeNew);
    if (isLast && typeof next !== 'number') return noNumber(path, next);
    value = next;
  }
  return undefined;
}

/** Brackets are in no path; what is wrong besides is told of the path without them. */
function bracketFault(
  { text }: NumberPath,
  dotted: string,
  document: unknown,
  mayBeNew: boolean,
): Fault {
  const path = parseNumberPath(dotted);
  const fault = isFault(path)
    ? path
    : pathFault(path, document, mayBeNew && typeof path.keys.at(-1) === 'string');
  if (fault !== undefined) return { ...fault, found: shown(text) };
  return {
    code: 'unknown-path',
    found: shown(text),
    expected: 'dots between the keys, also before the entry of a list, which counts from 0',
    hint: `did you mean \`${dotted}\`?`,
  };
}

/** Own keys alone: `constructor` is no key of a file. */
function inner(value: unknown, key: PropertyKey): unknown {
  if (value === null || typeof value !== 'object' || !Object.hasOwn(value, key)) return undefined;
  return (value as Record<PropertyKey, unknown>)[key];
}

/**
 * Whether a number may be added to what it would stand in. A list would grow, and the parameters of
 * a plug-in take any key, so that a misspelt one would pass.
 */
function isOpen(value: unknown, path: NumberPath): boolean {
  const isObject = value !== null && typeof value === 'object' && !Array.isArray(value);
  return isObject && !path.inFile.startsWith('plugin.parameters.');
}

/** Keys of every file that say nothing to the simulation. */
const ABOUT = ['$schema', 'name', 'notes'];

function missing(
  path: NumberPath,
  depth: number,
  value: unknown,
  document: unknown,
  mayBeNew: boolean,
): Fault {
  const before = [path.kind, ...path.keys.slice(0, depth)].map(String).join('.');
  const fault = { code: 'unknown-path', found: shown(path.text) };
  if (value === null || typeof value !== 'object') {
    return { ...fault, expected: `a path that ends at \`${before}\`, which has nothing inside` };
  }
  const key = String(path.keys[depth]);
  if (Array.isArray(value)) {
    return {
      ...fault,
      expected: `an entry from \`${before}.0\` to \`${before}.${value.length - 1}\`: the list has ${value.length}`,
    };
  }
  const there = Object.keys(value).filter((name) => !ABOUT.includes(name));
  const near = nearPath(path.text, document);
  const hint =
    near !== undefined
      ? `did you mean \`${near}\`?`
      : mayBeNew
        ? `write \`${key}\` into the file, or leave that ${path.kind} out: what a file leaves out would be switched on by a number in it`
        : undefined;
  return {
    ...fault,
    expected: `a key that is there; \`${before}\` has ${there.map((name) => `\`${name}\``).join(', ')}`,
    ...(hint === undefined ? {} : { hint }),
  };
}

function noNumber(path: NumberPath, value: unknown): Fault {
  const fault = { code: 'unknown-path', found: shown(path.text) };
  if (value === null || typeof value !== 'object') {
    return { ...fault, expected: `a path that ends at a number; ${shown(value)} stands there` };
  }
  const inside = Array.isArray(value)
    ? [`${path.text}.0 … ${path.text}.${value.length - 1}`]
    : Object.keys(value).map((key) => `${path.text}.${key}`);
  return {
    ...fault,
    expected: `a path that ends at a number, as ${inside.map((text) => `\`${text}\``).join(', ')}`,
  };
}
