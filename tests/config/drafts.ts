import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { onTestFinished } from 'vitest';
import type { JsonDocument } from '../../src/config/document.ts';
import { parseJson } from '../../src/config/json.ts';
import { InputError, type Problem } from '../../src/config/problem.ts';

/** Folder of the example set. */
export const EXAMPLES = fileURLToPath(new URL('../../examples', import.meta.url));

/** A file of the example set as plain data that a test may change. */
// biome-ignore lint/suspicious/noExplicitAny: a draft may be wrong in any way
export function exampleData(file: string): any {
  return JSON.parse(readFileSync(join(EXAMPLES, file), 'utf8'));
}

/** Data as the document of a file, two blanks a level, so that lines can be counted. */
export function documentOf(data: unknown, folder = EXAMPLES): JsonDocument {
  return { ...parseJson(JSON.stringify(data, null, 2), 'draft.json'), file: 'draft.json', folder };
}

/** The problems that loading ends with; an error where it ends otherwise. */
export async function problemsOf(loading: Promise<unknown>): Promise<readonly Problem[]> {
  try {
    await loading;
  } catch (error) {
    if (error instanceof InputError) return error.problems;
    throw error;
  }
  throw new Error('there should have been a problem');
}

/** A new folder with files in it, gone after the test. */
export function folderWith(files: Readonly<Record<string, string>>): string {
  const folder = mkdtempSync(join(tmpdir(), 'spinledger-config-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text);
  return folder;
}
