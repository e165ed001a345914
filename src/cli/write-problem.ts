import { existsSync } from 'node:fs';
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
  const { code, path = file } = error as NodeJS.ErrnoException;
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
      // Such as /proc: a folder, in which nobody can make anything.
      if (existsSync(dirname(path))) {
        return problem(
          'a place where the system lets nothing be made',
          'one that can be written to',
          'write elsewhere',
        );
      }
      return problem(
        `no folder \`${dirname(path)}\``,
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
    case 'ENAMETOOLONG':
      return problem(
        'a name that is longer than this system takes',
        'a shorter one',
        'most systems take up to 255 bytes a name, and the unfinished file needs some 15 of them',
      );
    case 'EMFILE':
    case 'ENFILE':
      return problem(
        `too many open files (${code})`,
        'a limit that leaves room for a few dozen',
        'raise it, as `ulimit -n 1024` does, or run fewer cases at a time: `--jobs 1`',
      );
    default:
      return problem(`an error of the system (${code})`, 'a file that can be written');
  }
}
