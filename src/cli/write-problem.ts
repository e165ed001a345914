import { dirname } from 'node:path';
import type { Problem } from '../config/problem.ts';

/**
 * Says why something could not be written.
 * @param error of the system
 * @param file as the user gave it, or what stands for it
 * @returns the problem
 * @throws the error itself where it is none of the system's
 */
export function writeProblem(error: unknown, file: string): Problem {
  const { code } = error as NodeJS.ErrnoException;
  const problem = (found: string, expected: string, hint?: string): Problem => ({
    code: 'cannot-write',
    file,
    found,
    expected,
    ...(hint === undefined ? {} : { hint }),
  });
  switch (code) {
    case undefined:
      throw error;
    case 'ENOSPC':
    case 'EDQUOT':
      return problem(
        'no space left on the device',
        'room for the whole output',
        'free some space, or write elsewhere',
      );
    case 'EFBIG':
      return problem(
        'a file that would be larger than this system or its limit allows',
        'room for the whole output',
        'raise the limit, as `ulimit -f unlimited` does, or write elsewhere',
      );
    case 'ENOENT':
      return problem(
        `no folder \`${dirname(file)}\``,
        'a folder that is there',
        'make the folder first, or mend its name',
      );
    case 'ENOTDIR':
      return problem(`\`${dirname(file)}\`, which is no folder`, 'a file within a folder');
    case 'EISDIR':
      return problem('a folder', 'the name of a file', 'add a file name to it');
    case 'EACCES':
    case 'EPERM':
    case 'EROFS':
      return problem(
        'a place that may not be written',
        'one that may',
        'mend its permissions, or write elsewhere',
      );
    default:
      return problem(`an error of the system (${code})`, 'a file that can be written');
  }
}
