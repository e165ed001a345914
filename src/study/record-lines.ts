import { createHash } from 'node:crypto';
import { parseJson } from '../config/json.ts';
import { InputError } from '../config/problem.ts';
import { linesOf } from './lines.ts';

/** A line of a file, for messages. */
export interface LinePlace {
  readonly file: string;
  readonly line: number;
}

/**
 * Hands over the values of a file that has one JSON value a line.
 *
 * @param file its path
 * @param take called for each value with its place
 * @returns SHA-256 of the file
 * @throws InputError where a line is no JSON, or the file cannot be read
 */
export function recordsIn(file: string, take: (value: unknown, place: LinePlace) => void): string {
  const hash = createHash('sha256');
  let line = 0;
  try {
    for (const { bytes } of linesOf(file, hash)) {
      line++;
      take(parsed(bytes.toString('utf8'), { file, line }), { file, line });
    }
    return hash.digest('hex');
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (error instanceof InputError || code === undefined) throw error;
    throw new InputError([
      {
        code: code === 'ENOENT' ? 'no-file' : 'unreadable',
        file,
        found: code === 'ENOENT' ? 'no such file' : `a file that cannot be read (${code})`,
        expected: 'the results of a study, one case a line',
        hint: 'was the folder copied whole?',
      },
    ]);
  }
}

function parsed(text: string, place: LinePlace): unknown {
  try {
    return JSON.parse(text);
  } catch {
    // Read again by the parser whose messages are our own; only the line is not the file's.
    try {
      parseJson(text, place.file);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      throw new InputError(error.problems.map((problem) => ({ ...problem, line: place.line })));
    }
    throw new InputError([{ code: 'broken-json', ...place, expected: 'a JSON value' }]);
  }
}
