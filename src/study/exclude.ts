import { shown } from '../config/document.ts';
import type { JsonPath } from '../config/json.ts';
import type { StudyFile } from '../config/study-file.ts';
import { suggest } from '../config/suggest.ts';
import type { Lists } from './lists.ts';
import { isFault, type NumberPath, parseNumberPath, pathFault, valueAt } from './number-path.ts';
import { PART_KINDS, type PartKind, type Product } from './product.ts';
import { isSame } from './same-number.ts';
import type { StudyProblems } from './study-problems.ts';

/** Combinations that are left out. */
export interface Exclusion {
  /** As the study has it. */
  readonly entry: StudyFile['exclude'][number];
  /** Whether a combination is one of them. */
  holds(digits: Uint32Array): boolean;
}

/** A condition on one digit of a combination: for each of its values whether it is fulfilled. */
interface Condition {
  readonly place: number;
  readonly fulfilled: Uint8Array;
}

/** What a number has to be. */
type NumberCondition =
  | number
  | { above?: number; below?: number; at_least?: number; at_most?: number };

/** So many values of an axis are listed in a message. */
const LISTED = 8;

/**
 * The exclusions of a study.
 *
 * @param entries of the study file
 * @param product of which combinations are excluded
 * @param lists of the parts of the study
 * @param problems to which what is wrong with them is added
 * @returns undefined where something is
 */
export function exclusionsOf(
  entries: StudyFile['exclude'],
  product: Product,
  lists: Lists,
  problems: StudyProblems,
): Exclusion[] | undefined {
  const exclusions = entries.map((entry, k) => {
    const place = ['exclude', k];
    const keys = Object.keys(entry);
    if (keys.length === 0) {
      problems.at(place, {
        code: 'no-condition',
        expected: 'a condition at least: without one everything would be left out',
      });
    }
    const conditions = keys.map((key) => {
      const at = [...place, key];
      const kind = PART_KINDS.find((name) => name === key);
      return kind === undefined
        ? ofNumber(key, entry[key] as NumberCondition, at, product, lists, problems)
        : ofName(kind, [entry[kind] ?? []].flat(), at, product, lists, problems);
    });
    const whole = conditions.filter((condition) => condition !== undefined);
    if (whole.length < conditions.length || whole.length === 0) return undefined;
    const holds = (digits: Uint32Array) =>
      whole.every(({ place, fulfilled }) => fulfilled[digits[place]!] === 1);
    return { entry, holds };
  });
  const whole = exclusions.filter((exclusion) => exclusion !== undefined);
  return whole.length === exclusions.length ? whole : undefined;
}

function ofName(
  kind: PartKind,
  wanted: readonly string[],
  at: JsonPath,
  product: Product,
  lists: Lists,
  problems: StudyProblems,
): Condition | undefined {
  const { parts, listed } = lists[kind];
  const names = parts.slice(0, listed).map(({ name }) => name);
  const unknown = wanted.filter((name) => !names.includes(name));
  for (const name of unknown) {
    const near = suggest(name, names);
    problems.at(at, {
      code: `unknown-${kind}`,
      found: shown(name),
      expected: `the name of a ${kind} that the study lists: ${listedFew(names)}`,
      ...(near === undefined ? {} : { hint: `did you mean "${near}"?` }),
    });
  }
  if (unknown.length > 0) return undefined;
  const fulfilled = Uint8Array.from(names, (name) => (wanted.includes(name) ? 1 : 0));
  return { place: product.placeOf(kind), fulfilled };
}

function ofNumber(
  text: string,
  condition: NumberCondition,
  at: JsonPath,
  product: Product,
  lists: Lists,
  problems: StudyProblems,
): Condition | undefined {
  const path = parseNumberPath(text);
  if (isFault(path)) {
    const near = suggest(text, PART_KINDS);
    problems.at(at, {
      ...path,
      expected: `\`car\`, \`store\`, \`strategy\` or \`cycle\` with names, or ${path.expected}`,
      ...(near === undefined ? {} : { hint: `did you mean \`${near}\`?` }),
    });
    return undefined;
  }
  const known = valuesOf(path, product, lists);
  if (known === undefined) {
    // No part has it, so that the first serves to say what there is.
    const fault = pathFault(path, lists[path.kind].parts[0]?.document.value, false);
    if (fault !== undefined) problems.at(at, fault);
    return undefined;
  }
  const { place, values } = known;
  const fulfilled = Uint8Array.from(values, (value) =>
    value !== undefined && isFulfilled(condition, value) ? 1 : 0,
  );
  if (fulfilled.includes(1)) return { place, fulfilled };
  const numbers = values.filter((value) => value !== undefined);
  problems.at(at, {
    code: 'excludes-nothing',
    found: shown(condition),
    expected: `a condition that some combination fulfils; \`${text}\` is ${listedFew(numbers.map(String))}`,
  });
  return undefined;
}

/** The values that a number has: one for each row of its axis, or one for each part. */
function valuesOf(
  path: NumberPath,
  product: Product,
  lists: Lists,
): { readonly place: number; readonly values: readonly (number | undefined)[] } | undefined {
  const column = product.columnOf(path.text);
  if (column !== undefined) return column;
  const { parts, listed } = lists[path.kind];
  const values = parts.slice(0, listed).map(({ identity }) => {
    const value = valueAt(identity, path.keys);
    return typeof value === 'number' ? value : undefined;
  });
  if (values.every((value) => value === undefined)) return undefined;
  return { place: product.placeOf(path.kind), values };
}

function isFulfilled(condition: NumberCondition, value: number): boolean {
  if (typeof condition === 'number') return isSame(condition, value);
  const { above, below, at_least: least, at_most: most } = condition;
  return (
    (above === undefined || (value > above && !isSame(value, above))) &&
    (below === undefined || (value < below && !isSame(value, below))) &&
    (least === undefined || value >= least || isSame(value, least)) &&
    (most === undefined || value <= most || isSame(value, most))
  );
}

function listedFew(texts: readonly string[]): string {
  const few = texts.slice(0, LISTED).join(', ');
  return texts.length > LISTED ? `${few} … ${texts.at(-1)}` : few;
}
