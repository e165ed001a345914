import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { packageRoot } from '../config/package-root.ts';

/** Version of the installed package. */
export function version(): string {
  return JSON.parse(readFileSync(join(packageRoot(), 'package.json'), 'utf8')).version;
}

/** What results are signed with: name and version of the program. */
export function tool(): string {
  return `spinledger ${version()}`;
}
