import type { DocumentProblems } from './document.ts';
import type { JsonPath } from './json.ts';

/** Adds the first entry that is out of order; true where there is none. */
export function checkOrder(
  path: JsonPath,
  values: readonly number[],
  order: 'rising' | 'falling',
  problems: DocumentProblems,
): boolean {
  for (let i = 1; i < values.length; i++) {
    const before = values[i - 1]!;
    const value = values[i]!;
    if (order === 'rising' ? value > before : value < before) continue;
    problems.add([...path, i], {
      code: 'list-order',
      found: String(value),
      expected: `${order === 'rising' ? 'more' : 'less'} than ${before}, the entry before it: the list is ${order}`,
    });
    return false;
  }
  return true;
}
