import { type Fault, shown } from '../config/document.ts';
import type { TuneFile } from '../config/tune-file.ts';
import { checkPath } from '../study/check-paths.ts';
import type { DocumentPart, Listing } from '../study/documents.ts';
import type { Lists } from '../study/lists.ts';
import { isFault, type NumberPath, parseNumberPath, valueAt } from '../study/number-path.ts';
import { withSettings } from '../study/variants.ts';
import type { TunedNumber } from './numbers.ts';

type Entry = TuneFile['vary'][number];

/**
 * The numbers that are tuned, in file order.
 *
 * @param entries of the tune file
 * @param lists of its parts, one of each kind; none where something is wrong with it
 * @param listing with which what is wrong is told
 */
export function numbersOf(
  entries: readonly Entry[],
  lists: Lists,
  listing: Listing,
): readonly TunedNumber[] {
  const { problems } = listing;
  const seen = new Set<string>();
  return entries.flatMap((entry, k) => {
    const place = ['vary', k];
    const path = parseNumberPath(entry.path);
    const order = orderFault(entry);
    if (order !== undefined) problems.at([...place, 'from'], order);
    if (isFault(path)) {
      problems.at([...place, 'path'], path);
      return [];
    }
    if (seen.has(path.text)) {
      problems.at([...place, 'path'], {
        code: 'duplicate-path',
        found: shown(path.text),
        expected: 'each number once',
      });
    }
    seen.add(path.text);
    const [part] = lists[path.kind].parts;
    if (part === undefined || order !== undefined) return [];
    if (!checkPath(path, [part], { path: [...place, 'path'] }, listing)) return [];
    return numberIn(part, path, entry, place, listing) ?? [];
  });
}

/** What is wrong with bounds, whatever they are for. */
function orderFault({ from, to, scale }: Entry): Fault | undefined {
  const found = `${from} to ${to}`;
  if (from >= to) {
    return { code: 'out-of-range', found, expected: '`from` below `to`, with room between them' };
  }
  if (scale === 'linear' || from > 0) return undefined;
  return {
    code: 'out-of-range',
    found,
    expected: 'bounds above 0 on a logarithmic scale, since their ratio is shared out',
    hint: 'a linear scale may begin at 0',
  };
}

/** The number with what its file has; undefined where that does not go with its bounds. */
function numberIn(
  part: DocumentPart,
  path: NumberPath,
  { from, to, scale }: Entry,
  place: readonly PropertyKey[],
  { check, problems }: Listing,
): TunedNumber | undefined {
  let isSound = true;
  for (const [key, value] of [
    ['from', from],
    ['to', to],
  ] as const) {
    const own = check
      .shapeProblems(path.kind, withSettings(part.document, [{ path, value }]))
      .filter((problem) => problem.path === path.inFile);
    for (const { code, expected } of own) {
      isSound = false;
      problems.ofNumber({ path: [...place, key] }, path.text, {
        code,
        found: `the bound ${value}`,
        expected: `a bound within what the ${path.kind} file takes: ${expected}`,
      });
    }
  }
  if (!isSound) return undefined;
  const start = valueAt(part.document.value, path.keys) ?? valueAt(part.identity, path.keys);
  if (typeof start !== 'number') {
    problems.at([...place, 'path'], {
      code: 'no-start',
      found: `no number at \`${path.text}\` in ${path.kind} ${part.name}, and no default`,
      expected: 'a number that the search can start from',
      hint: `write one into ${part.from}`,
    });
    return undefined;
  }
  if (start < from || start > to) {
    problems.at(place, {
      code: 'start-outside',
      found: `bounds ${from} to ${to}, and ${start} in ${path.kind} ${part.name}`,
      expected: 'bounds that hold the number of the file, from which the search starts',
      hint: `widen the bounds, or write another \`${path.text}\` into ${part.from}`,
    });
    return undefined;
  }
  return { path, from, to, scale, start };
}
