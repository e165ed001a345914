import { closeSync, constants, existsSync, openSync, readSync, truncateSync } from 'node:fs';
import { type FileHandle, open } from 'node:fs/promises';
import { join } from 'node:path';
import { DefectError, InputError, type Problem } from '../config/problem.ts';
import { MODEL_VERSION } from '../simulate/model-version.ts';
import { tool } from '../summary/tool.ts';
import { type EntryHead, entryHead, isUndamaged } from './entry.ts';
import { linesOf } from './lines.ts';

/** Name of the journal in the folder of a study. */
export const JOURNAL = 'journal.jsonl';

const FORMAT = 2;

/** What the first line of a journal says. */
interface Header {
  readonly journal: number;
  readonly tool: string;
  readonly model_version: string;
}

/** Where the line of a case stands. */
interface Place extends Omit<EntryHead, 'hash'> {
  /** [bytes] */
  readonly offset: number;
  /** Without the line end [bytes] */
  readonly length: number;
}

/**
 * The finished cases of a folder, a line each, for ever appended to: what is in it survives the
 * process, and the last line of a case is the one that counts. Only places are kept in memory.
 */
export class Journal {
  readonly path: string;
  /** Lines that were no case of ours, and so are not used: a disk that lost power leaves such. */
  readonly damaged: number;
  readonly #file: FileHandle;
  readonly #places: Map<string, Place>;
  #size: number;
  readonly #queued: string[] = [];
  #last: Promise<void> = Promise.resolve();
  #next: Promise<void> | undefined;

  private constructor(path: string, file: FileHandle, contents: Contents) {
    this.path = path;
    this.damaged = contents.damaged;
    this.#file = file;
    this.#places = contents.places;
    this.#size = contents.size;
  }

  /**
   * Opens the journal of a folder, or begins one. A last line that a killed process left torn is cut
   * off.
   * @throws InputError where another version of the program or of the model wrote it; the errors of
   *   the system
   */
  static async open(folder: string): Promise<Journal> {
    const path = join(folder, JOURNAL);
    const contents = existsSync(path) ? read(path) : nothing();
    if (contents.torn) truncateSync(path, contents.size);
    const file = await open(path, constants.O_RDWR | constants.O_APPEND | constants.O_CREAT);
    const journal = new Journal(path, file, contents);
    if (contents.size === 0) await journal.#put(Buffer.from(`${JSON.stringify(ownHeader())}\n`));
    return journal;
  }

  /** How many cases it has. */
  get count(): number {
    return this.#places.size;
  }

  /** What is known of a case; undefined if it has not been finished. */
  head(hash: string): Omit<EntryHead, 'hash'> | undefined {
    return this.#places.get(hash);
  }

  /**
   * The line of a case, without its end.
   * @throws DefectError if there is none
   */
  read(hash: string): string {
    const place = this.#places.get(hash);
    if (place === undefined) throw new DefectError(`case ${hash} is not in the journal`);
    const bytes = Buffer.allocUnsafe(place.length);
    const length = readSync(this.#file.fd, bytes, 0, place.length, place.offset);
    if (length < place.length) throw new DefectError(`${this.path} was cut short behind our back`);
    return bytes.toString('utf8');
  }

  /**
   * Adds finished cases. What comes while the disk is busy shares the next write.
   * @param text whole lines with their ends
   * @returns when the lines are on the disk
   * @throws InputError where the journal has been deleted or moved; the errors of the system
   */
  append(text: string): Promise<void> {
    this.#queued.push(text);
    this.#next ??= this.#last.then(() => {
      this.#next = undefined;
      return this.#write(this.#queued.splice(0).join(''));
    });
    this.#last = this.#next;
    return this.#next;
  }

  async close(): Promise<void> {
    await this.#last.catch(() => undefined);
    await this.#file.close();
  }

  async #write(text: string): Promise<void> {
    const bytes = Buffer.from(text, 'utf8');
    let offset = this.#size;
    await this.#put(bytes);
    let start = 0;
    for (let end = bytes.indexOf('\n'); end >= 0; end = bytes.indexOf('\n', start)) {
      addPlace(this.#places, bytes.subarray(start, end), offset);
      offset += end + 1 - start;
      start = end + 1;
    }
  }

  /** Appends whole lines, and comes back when they are on the disk. */
  async #put(bytes: Buffer): Promise<void> {
    await this.#file.appendFile(bytes);
    await this.#file.datasync();
    // A file that has lost its name can be written to as long as it is open, and is gone afterwards.
    if (!existsSync(this.path)) throw new InputError([gone(this.path)]);
    this.#size += bytes.length;
  }
}

function gone(path: string): Problem {
  return {
    code: 'folder-gone',
    file: path,
    found: 'no such file any more: its folder was deleted, moved or emptied meanwhile',
    expected: 'the journal that finished cases are kept in, until all has ended',
    hint: 'run the same command again; if the folder was moved, name its new place: `--out FOLDER`',
  };
}

/** Whether the folder has a journal of this program, of whatever version. */
export function hasJournal(folder: string): boolean {
  const path = join(folder, JOURNAL);
  return existsSync(path) && headerOf(firstLine(path)) !== undefined;
}

interface Contents {
  readonly places: Map<string, Place>;
  /** Of the whole lines [bytes] */
  readonly size: number;
  readonly torn: boolean;
  readonly damaged: number;
}

function nothing(): Contents {
  return { places: new Map(), size: 0, torn: false, damaged: 0 };
}

function read(path: string): Contents {
  const places = new Map<string, Place>();
  let size = 0;
  let torn = false;
  let damaged = 0;
  for (const { bytes, offset, isWhole } of linesOf(path)) {
    if (!isWhole) {
      torn = true;
      break;
    }
    if (offset === 0) checkHeader(path, headerOf(bytes.toString('utf8')));
    else if (!isUndamaged(bytes)) damaged++;
    else addPlace(places, bytes, offset);
    size = offset + bytes.length + 1;
  }
  return { places, size, torn, damaged };
}

function addPlace(places: Map<string, Place>, line: Buffer, offset: number): void {
  const head = entryHead(line);
  if (head === undefined) throw new DefectError('a line for the journal is not the line of a case');
  const { hash, state, explained, bounded } = head;
  places.set(hash, { state, explained, bounded, offset, length: line.length });
}

function ownHeader(): Header {
  return { journal: FORMAT, tool: tool(), model_version: MODEL_VERSION };
}

/** Longest first line that may be ours [bytes]. */
const HEADER_LENGTH = 1000;

function firstLine(path: string): string {
  const descriptor = openSync(path, 'r');
  try {
    const bytes = Buffer.alloc(HEADER_LENGTH);
    const length = readSync(descriptor, bytes, 0, HEADER_LENGTH, 0);
    return bytes.toString('utf8', 0, length).split('\n')[0] ?? '';
  } finally {
    closeSync(descriptor);
  }
}

function headerOf(line: string): Header | undefined {
  try {
    const header = JSON.parse(line) as Partial<Header> | null;
    return typeof header?.journal === 'number' ? (header as Header) : undefined;
  } catch {
    return undefined;
  }
}

function checkHeader(path: string, header: Header | undefined): void {
  const own = ownHeader();
  const problem = (found: string, expected: string, hint: string): Problem => ({
    code: 'other-journal',
    file: path,
    line: 1,
    found,
    expected,
    hint,
  });
  if (header === undefined) {
    throw new InputError([
      problem('no header of ours', 'a journal of spinledger', 'write elsewhere: `--out FOLDER`'),
    ]);
  }
  const { journal, tool: by, model_version: model } = header;
  if (journal === own.journal && by === own.tool && model === own.model_version) return;
  throw new InputError([
    problem(
      `results of ${by}, model version ${model}`,
      `those of ${own.tool}, model version ${own.model_version}: results of two versions are never mixed`,
      'write elsewhere with `--out FOLDER`, or delete this folder to run all of its cases again',
    ),
  ]);
}
