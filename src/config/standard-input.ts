import { emptyFile } from './files.ts';

/** What stands for standard input in messages. */
export const STANDARD_INPUT = 'standard input';

/**
 * Reads all of standard input as text.
 *
 * @param what it should be, for messages: `the JSON of a run`
 * @throws InputError where nothing comes
 */
export async function readStandardInput(what: string): Promise<string> {
  const pieces: Buffer[] = [];
  for await (const piece of process.stdin) pieces.push(piece as Buffer);
  const text = Buffer.concat(pieces).toString('utf8');
  if (text.trim() === '') throw emptyFile(STANDARD_INPUT, what);
  return text.replace(/^\uFEFF/, '');
}
