/** One thing that is wrong with an input, as data; `output/problems.ts` renders it at the edge. */
export interface Problem {
  /** Stable, lower case with dashes: `unknown-key`, `out-of-range`, `missing-column` … */
  readonly code: string;
  /** File name as the user gave it, or what stands for it (`standard input`, `--cycle`). */
  readonly file?: string;
  /** 1-based line of a text file. */
  readonly line?: number;
  /** Path of a value inside JSON (`engine.idle_speed_rpm`) or the name of a CSV column. */
  readonly path?: string;
  /** What stands there, in the user's own characters. */
  readonly found?: string;
  /** What was expected. */
  readonly expected: string;
  /** How to mend it, when more can be said than what was expected. */
  readonly hint?: string;
}

/** A problem in one line, without its hint: where, what stands there and what was expected. */
export function problemLine({ file, line, path, found, expected }: Problem): string {
  const place = file === undefined ? [] : [line === undefined ? file : `${file}:${line}`];
  const what =
    found === undefined ? `expected ${expected}` : `found ${found}, expected ${expected}`;
  return [...place, ...(path === undefined ? [] : [path]), what].join(': ');
}

/** The input cannot be used. Carries every problem of one file, in file order. Exit status 2. */
export class InputError extends Error {
  readonly problems: readonly Problem[];

  constructor(problems: readonly Problem[]) {
    super(
      problems.map((problem) => `${problem.path ?? problem.code}: ${problem.expected}`).join('; '),
    );
    this.name = 'InputError';
    this.problems = problems;
  }
}

/** The program itself is wrong, for example a ledger that does not close. Exit status 1. */
export class DefectError extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'DefectError';
  }
}

/** @throws InputError if there is any problem */
export function throwIfAny(problems: readonly Problem[]): void {
  if (problems.length > 0) throw new InputError(problems);
}
