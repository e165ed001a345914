import { existsSync, realpathSync } from 'node:fs';

/**
 * Whether a path leads to the same file as one of others, links followed: what is written there
 * would take the place of what it is made from.
 */
export function isOneOf(paths: readonly string[], path: string): boolean {
  const target = realPath(path);
  return target !== undefined && paths.some((other) => realPath(other) === target);
}

/** Where a path leads to; undefined if there is nothing. */
function realPath(path: string): string | undefined {
  return existsSync(path) ? realpathSync(path) : undefined;
}
