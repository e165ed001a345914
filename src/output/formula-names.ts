import { printable } from './problems.ts';

/** What a spreadsheet takes for the beginning of a formula, in or out of quotation marks. */
const FORMULA = /^[=+\-@\t\r]/;

/**
 * A warning about names that a spreadsheet would compute instead of showing them. They are written
 * as they are all the same: a sign put before them would be another name to whatever reads the table
 * next. All other text in tables of results begins with words of the program.
 *
 * @param names of the parts of the cases
 * @returns a sentence, or undefined where there is no such name
 */
export function formulaNotice(names: Iterable<string>): string | undefined {
  const found = new Set([...names].filter((name) => FORMULA.test(name)));
  if (found.size === 0) return undefined;
  const [first] = found;
  const more = found.size === 1 ? '' : ` and ${found.size - 1} more`;
  return `The name ${printable(first!)}${more} begins as a formula does, so a spreadsheet may compute it: rename it, or have those columns read as text.`;
}
