import { createRequire } from 'node:module';
import type { Problem } from './problem.ts';

/** The text stops being a table at this line; the rows after it were not read. */
export interface BrokenTable {
  readonly line: number;
  readonly problem: Problem;
}

/**
 * Hands over the rows of a small comma-separated table, one after the other. A byte order mark, any
 * line ends, quoted cells, empty lines and lines that begin with `#` are taken care of. Drives, which
 * may be gigabytes, are read by `cycle/read.ts` instead.
 *
 * @param text the whole file
 * @param take called for each row with its cells and the 1-based line on which it ends
 * @returns where the quotation marks of the text do not match, or undefined if all was read
 */
export function readCsvRows(
  text: string,
  take: (cells: readonly string[], line: number) => void,
): BrokenTable | undefined {
  // Loaded here and not above: most cases have no table, and should not wait for the parser.
  const require = createRequire(import.meta.url);
  const { CsvError, parse } = require('csv-parse/sync') as typeof import('csv-parse/sync');
  try {
    parse(text, {
      bom: true,
      comment: '#',
      comment_no_infix: true,
      record_delimiter: ['\r\n', '\n', '\r'],
      relax_column_count: true,
      skip_empty_lines: true,
      on_record: (cells: string[], { lines }) => {
        if (cells.length > 1 || cells[0]?.trim() !== '') take(cells, lines);
        return null; // nothing for the parser to keep
      },
    });
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    const { lines } = error;
    return {
      line: typeof lines === 'number' ? lines : 1,
      problem: {
        code: 'broken-quotes',
        expected: 'quotation marks in pairs, round whole cells',
        hint: 'a table of numbers needs no quotation marks: leave them out',
      },
    };
  }
  return undefined;
}
