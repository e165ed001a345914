import type { Hash } from 'node:crypto';
import { closeSync, openSync, readSync } from 'node:fs';

/** A line of a file. */
export interface Line {
  /** Its bytes without the line end; good until the next line is asked for */
  readonly bytes: Buffer;
  /** Where it begins [bytes] */
  readonly offset: number;
  /** Whether a line end follows; only the last line of a file may have none */
  readonly isWhole: boolean;
}

/** What is read at once [bytes]. */
const PIECE = 1 << 20;
const LINE_END = 10;

/**
 * Reads a file of any size line by line; no more than a piece and a line of it are in memory.
 *
 * @param path
 * @param hash takes in every byte that is read, and so the whole file at its end
 * @throws the errors of the system
 */
export function* linesOf(path: string, hash?: Hash): Generator<Line> {
  const descriptor = openSync(path, 'r');
  try {
    let held = Buffer.alloc(0);
    let offset = 0;
    for (;;) {
      const piece = Buffer.allocUnsafe(PIECE);
      const length = readSync(descriptor, piece, 0, PIECE, null);
      if (length === 0) break;
      const read = piece.subarray(0, length);
      hash?.update(read);
      held = Buffer.concat([held, read]);
      let start = 0;
      for (;;) {
        const end = held.indexOf(LINE_END, start);
        if (end < 0) break;
        yield { bytes: held.subarray(start, end), offset: offset + start, isWhole: true };
        start = end + 1;
      }
      held = held.subarray(start);
      offset += start;
    }
    if (held.length > 0) yield { bytes: held, offset, isWhole: false };
  } finally {
    closeSync(descriptor);
  }
}
