import { fstatSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { basename, dirname, extname, isAbsolute, join } from 'node:path';
import { isatty } from 'node:tty';
import { InputError } from './problem.ts';
import { suggest } from './suggest.ts';

/** So many names of a folder are listed. */
const LISTED_NAMES = 8;
/** So much of a file is read at once [bytes]. */
const PIECE_SIZE = 1 << 18;
/** Descriptor of standard input. */
const STANDARD_INPUT = 0;

/**
 * Reads a text file; a byte order mark is dropped.
 *
 * @param path as the user gave it
 * @param what it should be, for messages: `a car file`
 * @returns the text, not blank
 * @throws InputError where there is no such file, or it is a folder, a device, unreadable, empty
 *   or no text
 */
export function readText(path: string, what: string): string {
  let text: string;
  try {
    refuseDevice(path, what);
    text = readFileSync(path, 'utf8');
  } catch (error) {
    throw cannotRead(path, what, error);
  }
  if (text.includes('\0')) {
    return refuse(path, 'not-text', what, 'bytes that are no text', 'save it as UTF-8 text');
  }
  if (text.trim() === '') throw emptyFile(path, what);
  return text.replace(/^\uFEFF/, '');
}

/** The error for a file with nothing in it. */
export function emptyFile(path: string, what: string): InputError {
  return problem(path, 'empty-file', what, 'an empty file');
}

/** Whether a text may be the name of something that ships with the program: no folder, no ending. */
export function isBareName(text: string): boolean {
  return basename(text) === text && extname(text) === '';
}

/** Whether a path leads to a file, by links or not; it may be any text. */
export function isFile(path: string): boolean {
  try {
    return statSync(path).isFile();
  } catch {
    return false;
  }
}

/** Path of a file that another file names, from the folder of that other file. */
export function namedFrom(folder: string, path: string): string {
  return isAbsolute(path) ? path : join(folder, path);
}

/**
 * Reads a file of any size, piece by piece. It is opened with the first piece and closed with the
 * last, or as soon as no more are asked for.
 *
 * @param path as the user gave it
 * @param what it should be, for messages: `a logged drive`
 * @returns the bytes; a piece is good until the next one is asked for, which is read into its place
 * @throws InputError where there is no such file, or it is a folder, a device or unreadable
 */
export async function* openStream(path: string, what: string): AsyncGenerator<Uint8Array> {
  const piece = new Uint8Array(PIECE_SIZE);
  const system = async <T>(action: Promise<T>): Promise<T> => {
    try {
      return await action;
    } catch (error) {
      throw cannotRead(path, what, error);
    }
  };
  const opened = async () => {
    refuseDevice(path, what);
    return open(path);
  };
  const file = await system(opened());
  try {
    for (;;) {
      const { bytesRead } = await system(file.read(piece, 0, PIECE_SIZE));
      if (bytesRead === 0) return;
      yield piece.subarray(0, bytesRead);
    }
  } finally {
    await file.close();
  }
}

/**
 * A device may never end, as `/dev/zero` does not, and no input is kept on one. Pipes are none, with a
 * name or without; the terminal is one, but a user who types there ends it.
 * @throws InputError, the errors of the system
 */
function refuseDevice(path: string, what: string): void {
  const there = statSync(path);
  if (!there.isCharacterDevice() && !there.isBlockDevice()) return;
  if (isatty(STANDARD_INPUT) && fstatSync(STANDARD_INPUT).rdev === there.rdev) return;
  throw problem(path, 'device', what, 'a device', 'name a file or a pipe');
}

function cannotRead(path: string, what: string, error: unknown): unknown {
  const code = (error as NodeJS.ErrnoException).code;
  switch (code) {
    case 'ENOENT':
    case 'ENOTDIR':
      return problem(path, 'no-file', what, 'no such file', hintForMissing(path));
    case 'EISDIR':
      return problem(path, 'folder', what, 'a folder', namesIn(path));
    case 'EACCES':
    case 'EPERM':
      return problem(
        path,
        'unreadable',
        what,
        'a file that may not be read',
        'mend its permissions',
      );
    case 'EMFILE':
    case 'ENFILE':
      return problem(
        path,
        'unreadable',
        what,
        `a file that cannot be opened, since too many are open (${code})`,
        'raise the limit of open files, as `ulimit -n 1024` does',
      );
    case undefined:
      return error;
    default:
      return problem(path, 'unreadable', what, `a file that cannot be read (${code})`);
  }
}

function refuse(path: string, code: string, what: string, found: string, hint?: string): never {
  throw problem(path, code, what, found, hint);
}

function problem(path: string, code: string, what: string, found: string, hint?: string) {
  return new InputError([
    { code, file: path, found, expected: what, ...(hint === undefined ? {} : { hint }) },
  ]);
}

function hintForMissing(path: string): string | undefined {
  const folder = dirname(path);
  const names = filesIn(folder);
  if (names === undefined) return `the folder \`${folder}\` does not exist either`;
  const near = suggest(basename(path), names) ?? withEnding(path, names);
  return near === undefined
    ? namesIn(folder, extname(path))
    : `did you mean \`${join(folder, near)}\`?`;
}

/** `estate` for `estate.json`: the ending was left out. */
function withEnding(path: string, names: readonly string[]): string | undefined {
  return names.find((name) => name.startsWith(`${basename(path)}.`));
}

function namesIn(folder: string, ending = ''): string | undefined {
  const names = filesIn(folder)?.filter((name) => name.endsWith(ending)) ?? [];
  if (names.length === 0) return undefined;
  const listed = names.slice(0, LISTED_NAMES).join(', ');
  return `\`${folder}\` holds ${listed}${names.length > LISTED_NAMES ? ' …' : ''}`;
}

function filesIn(folder: string): string[] | undefined {
  try {
    return readdirSync(folder)
      .filter((name) => isFile(join(folder, name)))
      .toSorted();
  } catch {
    return undefined;
  }
}
