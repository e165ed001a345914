import { type Fault, shown } from '../config/document.ts';
import { namedFrom } from '../config/files.ts';
import type { JsonPath } from '../config/json.ts';
import type { StudyFile } from '../config/study-file.ts';
import { isFault, type NumberPath, parseNumberPath } from './number-path.ts';
import { readPairs } from './pairs-file.ts';
import type { Place, StudyProblems } from './study-problems.ts';

/** Numbers that vary together, and all their values. */
export interface Axis {
  readonly form: 'list' | 'range' | 'logarithmic' | 'pairs';
  readonly paths: readonly NumberPath[];
  /** For each path its values, one a row. */
  readonly columns: readonly (readonly number[])[];
  /** Number of rows. */
  readonly count: number;
  /** Where the values of a row come from. */
  placeOf(row: number): Place;
  /** Where the paths stand. */
  readonly place: Place;
}

type Vary = StudyFile['vary'][number];

/**
 * The axes of a study, in file order.
 *
 * @param vary of the study file
 * @param problems to which what is wrong with them is added
 * @returns those that are sound, and whether all of them are
 */
export function axesOf(
  vary: StudyFile['vary'],
  problems: StudyProblems,
): { readonly axes: readonly Axis[]; readonly areSound: boolean } {
  const all = vary.map((entry, k) => axisOf(entry, ['vary', k], problems));
  const axes = all.filter((axis) => axis !== undefined);
  const once = checkOnce(axes, problems);
  return { axes, areSound: once && axes.length === all.length };
}

function axisOf(entry: Vary, place: JsonPath, problems: StudyProblems): Axis | undefined {
  if ('pairs' in entry) {
    const file = namedFrom(problems.document.folder, entry.pairs);
    try {
      return { form: 'pairs', ...readPairs(file) };
    } catch (error) {
      problems.of([...place, 'pairs'], error);
      return undefined;
    }
  }
  const path = parseNumberPath(entry.path);
  if (isFault(path)) problems.at([...place, 'path'], path);
  const form = 'list' in entry ? 'list' : 'range' in entry ? 'range' : 'logarithmic';
  const fault = endsFault(entry);
  if (fault !== undefined) problems.at([...place, form], fault);
  if (isFault(path) || fault !== undefined) return undefined;
  const values = valuesOf(entry);
  return {
    form,
    paths: [path],
    columns: [values],
    count: values.length,
    place: { path: [...place, 'path'] },
    placeOf: (row) => ({ path: form === 'list' ? [...place, form, row] : [...place, form] }),
  };
}

/** The k-th value is computed from k alone, so that no rounding adds up; both ends are as they were given. */
function valuesOf(entry: Exclude<Vary, { pairs: string }>): readonly number[] {
  if ('list' in entry) return entry.list;
  const isRange = 'range' in entry;
  const { start, stop, count } = isRange ? entry.range : entry.logarithmic;
  const last = count - 1;
  const step = (stop - start) / last;
  const largest = Math.max(Math.abs(start), Math.abs(stop));
  const value = isRange
    ? (k: number) => decimal(start + k * step, largest)
    : (k: number) => Number((start * (stop / start) ** (k / last)).toPrecision(DIGITS));
  return Array.from({ length: count }, (_, k) => (k === 0 ? start : k === last ? stop : value(k)));
}

/**
 * Digits that values between the ends of an axis are rounded to: those of an equal ratio, each by
 * itself; those in equal steps, at the place where the larger end has its last. Doubles would have 16,
 * whose last ones computing spoils: 0.1 + 2 · 0.1 gives 0.30000000000000004.
 */
const DIGITS = 14;
/** Most decimals that numbers are printed with. */
const DECIMALS = 100;

function decimal(value: number, largest: number): number {
  const decimals = DIGITS - 1 - Math.floor(Math.log10(largest));
  if (decimals > DECIMALS) return Number(value.toPrecision(DIGITS));
  // What rounds to 0 from below would be −0.
  return Number(value.toFixed(Math.max(0, decimals))) + 0;
}

function endsFault(entry: Exclude<Vary, { pairs: string }>): Fault | undefined {
  if ('list' in entry) return undefined;
  const isRatio = 'logarithmic' in entry;
  const { start, stop } = isRatio ? entry.logarithmic : entry.range;
  const found = `${start} to ${stop}`;
  if (start === stop) {
    return {
      code: 'empty-range',
      found,
      expected: 'a `stop` that differs from `start`',
      hint: `a single value is "list": [${start}]`,
    };
  }
  if (!Number.isFinite(isRatio ? stop / start : stop - start) && start !== 0) {
    return {
      code: 'out-of-range',
      found,
      expected: 'a `start` and a `stop` that are not so far apart that no step can be computed',
    };
  }
  if (!isRatio || Math.sign(start) * Math.sign(stop) > 0) return undefined;
  return {
    code: 'out-of-range',
    found,
    expected:
      '`start` and `stop` of the same sign, neither of them 0, since their ratio is shared out',
    hint: 'a `range` goes in equal steps and may begin at 0',
  };
}

function checkOnce(axes: readonly Axis[], problems: StudyProblems): boolean {
  const seen = new Set<string>();
  let once = true;
  for (const { paths, place } of axes) {
    for (const { text } of paths) {
      if (seen.has(text)) {
        once = false;
        problems.ofNumber(place, text, {
          code: 'duplicate-path',
          found: shown(text),
          expected: 'each number on one axis only',
          hint: 'numbers that vary together stand in the table of `pairs`',
        });
      }
      seen.add(text);
    }
  }
  return once;
}
