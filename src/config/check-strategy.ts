import type { DocumentProblems } from './document.ts';
import type { StrategyFile } from './strategy-file.ts';

/** The behaviours that a strategy file may combine, as its keys. */
export const BEHAVIOURS = [
  'stop_start',
  'keep_off',
  'coast',
  'recover',
  'assist',
  'reserve',
] as const satisfies readonly (keyof StrategyFile)[];

/** What decides everything itself. */
const ALONE = [
  { key: 'plugin', words: 'a plug-in' },
  { key: 'least_cost', words: 'the least cost' },
] as const satisfies readonly { key: keyof StrategyFile; words: string }[];

/**
 * What the keys of a strategy file must be to one another.
 *
 * @param strategy the parts of the file that are sound in themselves
 * @param value the file as it was read, with the parts that are not sound
 * @param problems to which the problems are added
 */
export function checkStrategy(
  strategy: Partial<StrategyFile>,
  value: unknown,
  problems: DocumentProblems,
): void {
  const keys = value !== null && typeof value === 'object' ? Object.keys(value) : [];
  const named = BEHAVIOURS.filter((key) => keys.includes(key));
  const alone = ALONE.find(({ key }) => keys.includes(key));
  if (alone !== undefined) {
    const others = [...named, ...ALONE.map(({ key }) => key)].filter((key) => keys.includes(key));
    for (const key of others.filter((other) => other !== alone.key)) {
      problems.add([key], {
        code: 'conflicting-keys',
        expected: `${alone.words} alone: it decides everything itself`,
        hint: `leave out \`${key}\` or \`${alone.key}\``,
      });
    }
  } else if (named.length === 0) {
    problems.add([], {
      code: 'missing-key',
      expected: `at least one of ${BEHAVIOURS.map((key) => `\`${key}\``).join(', ')}, or \`least_cost\` or \`plugin\` alone`,
      hint: 'a store that is only carried along is "recover": { "share_pct": 0 }',
    });
  }
  if (strategy.least_cost !== undefined) checkSearch(strategy.least_cost, problems);
  const { keep_off: keepOff } = strategy;
  if (keepOff !== undefined && keepOff.stop_above_pct < keepOff.floor_pct) {
    problems.add(['keep_off', 'stop_above_pct'], {
      code: 'inconsistent',
      found: String(keepOff.stop_above_pct),
      expected: `floor_pct (${keepOff.floor_pct}) at least`,
      hint: 'below the floor the engine would restart at once',
    });
  }
}

/** The other numbers are searched with the factor, since each hangs on it. */
function checkSearch(
  { factor, feedback, start_price_kJ: price }: StrategyFile['least_cost'] & {},
  problems: DocumentProblems,
): void {
  if (factor === 'search') return;
  const refuse = (path: readonly string[]) =>
    problems.add(['least_cost', ...path], {
      code: 'inconsistent',
      expected: `a number, since \`factor\` is one (${factor})`,
      hint: 'or "factor": "search", with which it is searched',
    });
  if (price === 'search') refuse(['start_price_kJ']);
  if (feedback?.gain === 'search') refuse(['feedback', 'gain']);
}
