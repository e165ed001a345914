import { isNumberLike } from '../study/number-like.ts';
import { printable } from './problems.ts';

/** What a spreadsheet takes for the beginning of a formula, in or out of quotation marks. */
const FORMULA = /^[=+\-@\t\r]/;

/**
 * A warning about texts that a spreadsheet would not show as they are: names that it would compute, and
 * names or hashes that it would read as numbers. They are written as they are all the same: a sign put
 * before them would make another name of them to whatever reads the table next. All other text in tables
 * of results begins with words of the program.
 *
 * @param texts names of the parts of the cases, and their hashes
 * @returns a sentence or two, or undefined where there is no such text
 */
export function formulaNotice(texts: Iterable<string>): string | undefined {
  const all = [...new Set(texts)];
  const notices = [
    notice(
      all.filter((text) => FORMULA.test(text)),
      (which) =>
        `The name ${which} begins as a formula does, so a spreadsheet may compute it: rename it, or have those columns read as text.`,
    ),
    notice(
      all.filter(isNumberLike),
      (which) =>
        `${which} in the table can be taken for a number, so a spreadsheet may spoil it: have columns of names and hashes read as text.`,
    ),
  ].filter((text) => text !== undefined);
  return notices.length === 0 ? undefined : notices.join('\n');
}

function notice(found: readonly string[], sentence: (which: string) => string): string | undefined {
  const [first] = found;
  if (first === undefined) return undefined;
  return sentence(printable(first) + (found.length === 1 ? '' : ` and ${found.length - 1} more`));
}
