import { carFile } from './car-file.ts';
import { shown } from './document.ts';
import { storeFile } from './store-file.ts';

/**
 * Parts of files that a fit gives, to be pasted. Each is held against the very schema of the file, so
 * that what is printed can be loaded, or it is said why not.
 */
const PARTS = {
  road_load: carFile.shape.road_load,
  engine: carFile.shape.engine,
  rotor: storeFile.shape.rotor,
} as const;

/**
 * Why a part cannot stand in its file.
 * @param part of a car or store file
 * @param value with some of its keys, all of those that the fit gives
 * @returns sentences; none if it can
 */
export function pasteProblems(part: keyof typeof PARTS, value: object): string[] {
  const parsed = PARTS[part].safeParse(value);
  if (parsed.success) return [];
  return parsed.error.issues
    .filter(({ path }) => path.length > 0 && inner(value, path) !== undefined)
    .map(
      ({ path, message }) =>
        `${part}.${path.map(String).join('.')} is ${shown(inner(value, path))}, and a file takes ${message}`,
    );
}

function inner(value: unknown, path: readonly PropertyKey[]): unknown {
  let found = value;
  for (const key of path) found = (found as Record<PropertyKey, unknown> | undefined)?.[key];
  return found;
}

/** A figure for a file: six digits, far below any interval, and not the noise of a double. */
export function pasted(value: number): number {
  return Number(value.toPrecision(6));
}
