import { randomBytes } from 'node:crypto';
import { readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { InputError } from '../config/problem.ts';
import { JOURNAL } from './journal.ts';
import { FILES } from './output-folder.ts';
import { readManifest } from './read-manifest.ts';

/** Whose cases and results a folder holds, as `owner.json` says from the first case on. */
export interface Owner {
  readonly kind: 'study' | 'tune';
  readonly name: string;
}

/**
 * Makes a folder that of a study or a tune, whether that comes to its end or not. One that was edited
 * keeps its folder; one of another name was hardly meant to go there.
 *
 * @param folder that no other process works in
 * @param owner
 * @throws InputError where it is another's; the errors of the system
 */
export function ownFolder(folder: string, owner: Owner): void {
  const before = ownerOf(folder);
  if (before !== undefined && (before.kind !== owner.kind || before.name !== owner.name)) {
    throw ofAnother(folder, before, owner);
  }
  const path = join(folder, FILES.owner);
  const temporary = join(folder, `.${FILES.owner}.${randomBytes(4).toString('hex')}.tmp`);
  const { kind, name } = owner;
  writeFileSync(temporary, `${JSON.stringify({ kind, name })}\n`, { flush: true });
  renameSync(temporary, path);
}

/** As the mark says, else the results; undefined where neither does. */
function ownerOf(folder: string): Owner | undefined {
  return marked(folder) ?? ofResults(folder);
}

function marked(folder: string): Owner | undefined {
  try {
    const { kind, name } = JSON.parse(readFileSync(join(folder, FILES.owner), 'utf8'));
    const isKnown = kind === 'study' || kind === 'tune';
    return isKnown && typeof name === 'string' ? { kind, name } : undefined;
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    // One that is damaged tells nothing; it is written anew.
    if (code === 'ENOENT' || error instanceof SyntaxError || error instanceof TypeError) {
      return undefined;
    }
    throw error;
  }
}

function ofResults(folder: string): Owner | undefined {
  try {
    return { kind: 'study', name: readManifest(folder).study };
  } catch (error) {
    if (error instanceof InputError) return undefined;
    throw error;
  }
}

function ofAnother(folder: string, before: Owner, owner: Owner): InputError {
  return new InputError([
    {
      code: 'other-study',
      file: folder,
      found: `the folder of the ${before.kind} ${before.name}`,
      expected: `a folder for the ${owner.kind} ${owner.name}, whose results would run into those`,
      hint: `write elsewhere: \`--out FOLDER\`; or, to go on from the cases that are kept there, move all but ${JOURNAL} away first`,
    },
  ]);
}
