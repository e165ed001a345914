import { fixed } from '../summary/numbers.ts';
import type { SearchSummary } from '../summary/summary.ts';

/** Says in a sentence which factor of stored energy was found; nothing where none was searched. */
export function searchWords(search: SearchSummary | undefined): string[] {
  if (search === undefined) return [];
  const { factor, from, to, tried } = search;
  return [
    `Stored energy counts for ${fixed(factor, 3)} J of fuel a joule: of ${tried} factors from ${from} to ${to} the one with the least balanced fuel. It was found with the whole cycle known.`,
  ];
}
