import { existsSync, realpathSync } from 'node:fs';
import { isAbsolute, join, relative, sep } from 'node:path';
import type { JsonPath } from '../config/json.ts';
import type { DocumentPart } from '../study/documents.ts';
import { type DocumentKind, valueAt } from '../study/number-path.ts';
import { withSettings } from '../study/variants.ts';
import type { TunedNumber } from './numbers.ts';

/** Where each kind of file may name another one. */
const NAMES: Readonly<Record<DocumentKind, readonly JsonPath[]>> = {
  car: [['engine', 'fuel_use', 'file']],
  store: [['losses', 'file']],
  strategy: [['plugin', 'module']],
};

/**
 * A file with its tuned numbers, as text. All else stays as it is and in its order, but for the names
 * of other files, which are led to from the folder that it is written into.
 *
 * @param kind of the file
 * @param part as it was read
 * @param numbers that are tuned, of whatever kind
 * @param values of them
 * @param folder that it is written into
 */
export function tunedFile(
  kind: DocumentKind,
  { document }: DocumentPart,
  numbers: readonly TunedNumber[],
  values: readonly number[],
  folder: string,
): string {
  const settings = numbers.flatMap(({ path }, k) =>
    path.kind === kind ? { path, value: values[k]! } : [],
  );
  const { value } = withSettings(document, settings);
  const paths: readonly JsonPath[] = [['$schema'], ...NAMES[kind]];
  const moved = paths.reduce((whole, path) => {
    const name = valueAt(whole, path);
    if (typeof name !== 'string') return whole;
    return withText(whole, path, nameFrom(folder, document.folder, name));
  }, value);
  return `${laidOut(moved, '')}\n`;
}

/** A name from one folder as it is from another; one that leads to no file here stays as it is. */
function nameFrom(to: string, from: string, name: string): string {
  if (isAbsolute(name) || !existsSync(join(from, name))) return name;
  const way = relative(realpathSync(to), realpathSync(join(from, name)))
    .split(sep)
    .join('/');
  return way.startsWith('.') ? way : `./${way}`;
}

function withText(value: unknown, [key, ...rest]: JsonPath, text: string): unknown {
  if (key === undefined) return text;
  const object = value as Readonly<Record<PropertyKey, unknown>>;
  return { ...object, [key]: withText(object[key], rest, text) };
}

/** JSON with a key a line, and lists of numbers or texts on one. */
function laidOut(value: unknown, indent: string): string {
  if (value === null || typeof value !== 'object') return JSON.stringify(value);
  const inner = `${indent}  `;
  const isList = Array.isArray(value);
  if (isList && value.every((entry) => entry === null || typeof entry !== 'object')) {
    return `[${value.map((entry) => JSON.stringify(entry)).join(', ')}]`;
  }
  const lines = isList
    ? value.map((entry) => laidOut(entry, inner))
    : Object.entries(value).map(
        ([key, entry]) => `${JSON.stringify(key)}: ${laidOut(entry, inner)}`,
      );
  if (lines.length === 0) return isList ? '[]' : '{}';
  const [open, close] = isList ? ['[', ']'] : ['{', '}'];
  return `${open}\n${lines.map((line) => `${inner}${line}`).join(',\n')}\n${indent}${close}`;
}
