import { FUEL } from './difference.ts';
import type { DimensionValue } from './dimensions.ts';
import type { Compared } from './gate-values.ts';
import type { Pair } from './match.ts';
import type { Result } from './results.ts';

/**
 * What a reader of a comparison has to know before using it.
 * @returns one sentence a notice, none when there is nothing to say
 */
export function noticesOf(compared: Compared): string[] {
  return [...programNotices(compared), ...inputNotices(compared), ...shareNotices(compared)];
}

function programNotices({ before, after, matching }: Compared): string[] {
  const found: string[] = [];
  for (const [side, { tools }] of Object.entries({ before, after })) {
    if (tools.length > 1) {
      found.push(`The result ${side} was made by several programs: ${tools.join(', ')}.`);
    }
  }
  if (before.tools.join() !== after.tools.join() || modelsDiffer(before, after)) {
    found.push(
      `Before was made by ${programOf(before)}, after by ${programOf(after)}: what differs may come from the program, not from the change.`,
    );
  }
  const moved = matching.pairs.filter(
    (pair) => pair.before.hash === pair.after.hash && !isSameFuel(pair),
  ).length;
  if (moved > 0) {
    found.push(
      `${counted(moved, 'case has', 'cases have')} the same inputs before and after, yet other figures: the program made the difference.`,
    );
  }
  return found;
}

/** No figure on either side is the same, too. */
function isSameFuel({ before, after }: Pair): boolean {
  return Object.is(before.figures.of(FUEL), after.figures.of(FUEL));
}

/** A run does not say by which version of the model it was made. */
function modelsDiffer({ modelVersion: old }: Result, { modelVersion: now }: Result): boolean {
  return old !== null && now !== null && old !== now;
}

function programOf({ tools, modelVersion }: Result): string {
  return modelVersion === null ? tools.join(', ') : `${tools.join(', ')} (model ${modelVersion})`;
}

function inputNotices({ matching }: Compared): string[] {
  return matching.changed.map(
    ({ name, before, after }) =>
      `Compared across the ${name}: ${valueWords(before)} before, ${valueWords(after)} after.`,
  );
}

/** A value of a dimension, for people. */
export function valueWords(value: DimensionValue): string {
  if (value === null) return 'as its file says';
  return value === undefined ? 'not varied' : String(value);
}

function shareNotices({ before, after, shares }: Compared): string[] {
  const { from, left } = shares;
  const differ =
    from === 'study' &&
    before.cycleShares !== null &&
    JSON.stringify(before.cycleShares) !== JSON.stringify(shares.shares);
  return [
    ...(differ
      ? ['The studies before and after have other shares of cycles; those after are used.']
      : []),
    ...(left.length > 0 ? [`Not in the means, since they have no share: ${left.join(', ')}.`] : []),
    ...(after.study !== null && before.study !== null && after.study !== before.study
      ? [`The studies have different names: ${before.study} before, ${after.study} after.`]
      : []),
  ];
}

function counted(count: number, one: string, several: string): string {
  return `${count} ${count === 1 ? one : several}`;
}
