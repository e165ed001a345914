import type { Problem } from '../../src/config/problem.ts';
import { InputError } from '../../src/config/problem.ts';
import { type LoggedDrive, type ReadOptions, readDrive } from '../../src/cycle/read.ts';

const source = { file: 'logs/monday.csv', name: 'monday' };

/** Pieces of a file as they may come. */
export async function* piecesOf<T extends Uint8Array | string>(
  pieces: Iterable<T>,
): AsyncGenerator<T> {
  yield* pieces;
}

/** Bytes cut at random places, empty pieces among them. */
export function cutAtRandom(bytes: Uint8Array, random: () => number): Uint8Array[] {
  const pieces: Uint8Array[] = [];
  for (let at = 0; at < bytes.length; ) {
    const length = Math.floor(random() * random() * 40);
    pieces.push(bytes.subarray(at, at + length));
    at += length;
  }
  return pieces;
}

/** Reads a drive from its lines. */
export function readLines(lines: readonly string[], options?: ReadOptions): Promise<LoggedDrive> {
  return readDrive(piecesOf([lines.join('\n')]), source, options);
}

/** The problems that a file is refused for; fails if it is not refused. */
export async function problemsIn(
  lines: readonly string[],
  options?: ReadOptions,
): Promise<readonly Problem[]> {
  try {
    await readLines(lines, options);
  } catch (error) {
    if (error instanceof InputError) return error.problems;
    throw error;
  }
  throw new Error('nothing was refused');
}
