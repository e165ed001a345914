import { fixed } from '../summary/numbers.ts';
import type { SearchSummary } from '../summary/summary.ts';

/** Says in sentences which numbers of the least cost were found; nothing where none were searched. */
export function searchWords(search: SearchSummary | undefined): string[] {
  if (search === undefined) return [];
  const { factor, from, to, gain, start_price_kJ: price, tried } = search;
  const falls =
    gain === undefined || gain === 0
      ? ''
      : `, and for ${fixed(gain, 2)} J less in a full store than in an empty one`;
  const start =
    price === undefined
      ? ''
      : ` An engine start counts for ${fixed(price, 1)} kJ of fuel beyond what it takes.`;
  const alone = gain === undefined && price === undefined;
  const tries = alone ? 'factors' : 'sets of these numbers, with factors';
  return [
    `Stored energy counts for ${fixed(factor, 3)} J of fuel a joule${falls}.${start} Of ${tried} ${tries} from ${from} to ${to}, this is the one with the least balanced fuel. It was found with the whole cycle known.`,
  ];
}
