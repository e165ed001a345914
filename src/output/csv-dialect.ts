import { InputError } from '../config/problem.ts';
import { type Decimal, type Delimiter, delimiterFlag } from '../cycle/dialect.ts';

/** How a table is written: what stands between its cells, and the decimal sign of its numbers. */
export interface CsvDialect {
  readonly delimiter: Delimiter;
  readonly decimal: Decimal;
}

/** RFC 4180 with a decimal point, what every table is written in unless it is asked for otherwise. */
export const PLAIN_DIALECT: CsvDialect = { delimiter: ',', decimal: '.' };

/** What was asked for, so far as it was. */
export interface DialectWishes {
  readonly delimiter?: Delimiter | undefined;
  readonly decimal?: Decimal | undefined;
}

/**
 * The dialect that the user asks for. A decimal comma alone puts semicolons between the cells, as
 * spreadsheets do where numbers have one.
 *
 * @param wishes what was asked for
 * @param flags by which it is asked for, for the message
 * @throws InputError where a comma would stand both between cells and within numbers
 */
export function csvDialect(
  { delimiter, decimal = '.' }: DialectWishes,
  flags = { delimiter: '--delimiter', decimal: '--decimal' },
): CsvDialect {
  const between = delimiter ?? (decimal === ',' ? ';' : ',');
  if (between === decimal) {
    throw new InputError([
      {
        code: 'conflicting-options',
        path: flags.decimal,
        found: 'a comma both between cells and within numbers',
        expected: 'two different characters',
        hint: `use \`${delimiterFlag(';', flags.delimiter)}\`, or leave \`${flags.delimiter}\` out, which does the same`,
      },
    ]);
  }
  return { delimiter: between, decimal };
}
