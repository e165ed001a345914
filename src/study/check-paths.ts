import { type Fault, shown } from '../config/document.ts';
import type { DocumentPart, Listing } from './documents.ts';
import { nearPath } from './near-path.ts';
import { type NumberPath, pathFault, valueAt } from './number-path.ts';
import type { Place } from './study-problems.ts';
import { withSettings } from './variants.ts';

/** So many parts are named in a message. */
const NAMED = 4;

/** What a schema says of a key that cannot hold a number, whichever it is. */
const NOT_A_NUMBER = ['unknown-key', 'wrong-type', 'unknown-value'];

/**
 * Whether a number can be set at a path of all parts.
 *
 * @param path of the number
 * @param parts of its kind
 * @param place where the study names the path
 * @param listing with which what is wrong is told
 */
export function checkPath(
  path: NumberPath,
  parts: readonly DocumentPart[],
  place: Place,
  { check, problems }: Pick<Listing, 'check' | 'problems'>,
): boolean {
  const faults = parts.flatMap((part) => {
    const fault = pathFault(path, part.document.value) ?? schemaFault(path, part, check);
    return fault === undefined ? [] : { name: part.name, fault };
  });
  const [first] = faults;
  if (first === undefined) return true;
  const names = faults.slice(0, NAMED).map(({ name }) => name);
  const more = faults.length > NAMED ? ` and ${faults.length - NAMED} more` : '';
  const { code, expected, hint } = first.fault;
  problems.ofNumber(place, path.text, {
    code,
    found: `no such number in ${path.kind} ${names.join(', ')}${more}`,
    expected,
    ...(hint === undefined ? {} : { hint }),
  });
  return false;
}

/** A key that is not there may be one that has a default, or none at all. */
function schemaFault(
  path: NumberPath,
  part: DocumentPart,
  check: Listing['check'],
): Fault | undefined {
  if (valueAt(part.document.value, path.keys) !== undefined) return undefined;
  const document = withSettings(part.document, [{ path, value: 1 }]);
  const problem = check
    .shapeProblems(path.kind, document)
    .find(({ code, path: at }) => at === path.inFile && NOT_A_NUMBER.includes(code));
  if (problem === undefined) return undefined;
  const { expected, hint } = problem;
  const near = nearPath(path.text, part.document.value);
  const meant =
    hint?.startsWith('did you mean') === true
      ? hint.replace('`', `\`${path.text.slice(0, path.text.lastIndexOf('.') + 1)}`)
      : near === undefined
        ? undefined
        : `did you mean \`${near}\`?`;
  return {
    code: 'unknown-path',
    found: shown(path.text),
    expected,
    ...(meant === undefined ? {} : { hint: meant }),
  };
}
