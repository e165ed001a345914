import { percentProblems } from './check-percent.ts';
import { shown } from './document.ts';
import { InputError, type Problem } from './problem.ts';

/** Version of the keys of results that can be read. */
const READABLE_VERSION = 1;

const NAMES = ['car', 'store', 'strategy', 'cycle', 'hash'] as const;

/** What every record of a case has, whether it ran or failed. */
export interface CheckedRecord {
  readonly tool: string;
  readonly case: Readonly<Record<(typeof NAMES)[number], string>>;
  /** Varied numbers by their paths; empty for a single run. */
  readonly varied: Readonly<Record<string, number | null>>;
  /** Why it could not be finished; null for a case that ran. */
  readonly failure: string | null;
  /** All the other keys of a case that ran, its figures among them. */
  readonly summary: Readonly<Record<string, unknown>>;
}

/** Where a record stands. */
export interface Place {
  readonly file: string;
  readonly line?: number;
}

/**
 * Holds a value against what a record of a case has to be: the JSON of `run --format json`, or a
 * line of the results of a study. Its figures are left to those who know which they need, but for
 * savings: they have to follow from the fuels beside them.
 *
 * @throws InputError with every problem of it
 */
export function checkRecord(value: unknown, place: Place): CheckedRecord {
  const record = asObject(value);
  const { state, schema_version: version, ...rest } = record ?? {};
  const failed = state === 'failed';
  if (!failed && version === undefined) {
    throw new InputError([
      {
        code: 'no-result',
        ...place,
        found: shown(value),
        expected: 'a result: what `run --format json` prints, or a folder that `study --out` wrote',
      },
    ]);
  }
  const problems: Problem[] = [];
  const wrong = (path: string, found: unknown, expected: string) =>
    problems.push({
      code: found === undefined ? 'missing-key' : 'wrong-type',
      ...place,
      path,
      found: found === undefined ? 'no such key' : shown(found),
      expected,
    });
  if (!failed) problems.push(...versionProblems(version, place));

  const { tool, case: names, varied = {}, warnings, error } = rest;
  if (typeof tool !== 'string') wrong('tool', tool, 'name and version of the program');
  const named = asObject(names);
  if (named === undefined) wrong('case', names, `an object with ${NAMES.join(', ')}`);
  for (const key of NAMES) {
    if (named !== undefined && typeof named[key] !== 'string') {
      wrong(`case.${key}`, named[key], 'a text');
    }
  }
  const values = asObject(varied);
  if (values === undefined) wrong('varied', varied, 'an object of numbers');
  for (const [path, number] of Object.entries(values ?? {})) {
    if (number !== null && !Number.isFinite(number)) {
      wrong(`varied.${path}`, number, 'a number or null');
    }
  }
  const { message } = asObject(error) ?? {};
  if (failed && typeof message !== 'string') wrong('error.message', message, 'a text');
  if (!failed && !Array.isArray(warnings)) wrong('warnings', warnings, 'a list of texts');
  if (!failed) problems.push(...percentProblems(rest, place));
  if (problems.length > 0) throw new InputError(problems);

  const { varied: _, ...summary } = rest;
  return {
    tool: tool as string,
    case: named as CheckedRecord['case'],
    varied: values as CheckedRecord['varied'],
    failure: failed ? (message as string) : null,
    summary: { schema_version: version, ...summary },
  };
}

/**
 * What is wrong with a version of the keys of results.
 * @param version as it stands under `schema_version`
 */
export function versionProblems(version: unknown, place: Place): Problem[] {
  if (version === READABLE_VERSION) return [];
  return [
    {
      code: 'schema-version',
      ...place,
      path: 'schema_version',
      found: shown(version),
      expected: `${READABLE_VERSION}, the version of results that this program reads`,
      hint: 'make both results with the same version of the program',
    },
  ];
}

/** An object in braces as a record of unknown values; undefined for anything else. */
function asObject(value: unknown): Readonly<Record<string, unknown>> | undefined {
  const isObject = value !== null && typeof value === 'object' && !Array.isArray(value);
  return isObject ? (value as Record<string, unknown>) : undefined;
}
