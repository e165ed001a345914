import { InputError } from '../config/problem.ts';
import type { Quantity } from './column-names.ts';

/** What stands between the cells of a table. */
export type Delimiter = ',' | ';' | '\t';

/** The decimal sign of a table. */
export type Decimal = '.' | ',';

/** How a log is written, so far as that cannot be seen in it. */
export interface ReadOptions {
  /** Between cells; a comma unless said otherwise. */
  readonly delimiter?: Delimiter | undefined;
  /** Decimal sign; a point unless said otherwise. */
  readonly decimal?: Decimal | undefined;
  /**
   * Headers of the columns to take, by what they hold. A unit may follow the header behind a colon
   * (`vFzg:kmh`), if neither the header nor a row of units gives it. Only these columns are taken,
   * and besides them, under their own names, those without which there is no drive: time, and speed
   * or position.
   */
  readonly columns?: Readonly<Partial<Record<Quantity, string | undefined>>> | undefined;
}

/** The options of a log, all of them. */
export interface Dialect {
  readonly delimiter: Delimiter;
  readonly decimal: Decimal;
  readonly columns: ReadonlyMap<Quantity, string>;
}

/**
 * Fills in what the options leave out.
 * @throws InputError where the options exclude each other
 */
export function dialectOf(options: ReadOptions): Dialect {
  const { delimiter = ',', decimal = '.', columns = {} } = options;
  if (delimiter === decimal) {
    throw new InputError([
      {
        code: 'conflicting-options',
        path: '--decimal',
        found: 'a comma both between cells and within numbers',
        expected: 'two different characters',
        hint: "add `--delimiter ';'` or `--delimiter tab`",
      },
    ]);
  }
  const entries = Object.entries(columns) as [Quantity, string | undefined][];
  const named = entries.filter((entry): entry is [Quantity, string] => entry[1] !== undefined);
  return { delimiter, decimal, columns: new Map(named) };
}

/** The flag that asks for a delimiter, as one types it. */
export function delimiterFlag(delimiter: Delimiter, flag = '--delimiter'): string {
  return `${flag} ${delimiter === '\t' ? 'tab' : delimiter === ';' ? "';'" : ','}`;
}

/** The delimiters in words. */
export const DELIMITER_WORDS: Readonly<Record<Delimiter, string>> = {
  ',': 'commas',
  ';': 'semicolons',
  '\t': 'tabs',
};
