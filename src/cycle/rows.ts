import { CsvError, parse } from 'csv-parse/sync';

/** Takes one row: its cells and the 1-based line of the file that it stands on. */
export type TakeRow = (cells: readonly string[], line: number) => void;

/** The text stops being a table at this line; the rows after it were not read. */
export interface BrokenTable {
  readonly line: number;
}

/**
 * Hands over the rows of a comma-separated text, one after the other. A byte order mark, any line
 * ends, empty lines and lines that begin with `#` are taken care of.
 *
 * @param text the whole file
 * @param take called for each row
 * @returns where the quotation marks of the text do not match, or undefined if all was read
 */
export function readRows(text: string, take: TakeRow): BrokenTable | undefined {
  // A table of numbers rarely has quotation marks. Without them a row is split at its commas, which
  // on the first file of a process is some ten times as fast as the general parser.
  if (text.includes('"')) return readQuotedRows(text, take);
  const lines = text.replace(/^\uFEFF/, '').split(/\r\n|\n|\r/);
  for (let index = 0; index < lines.length; index++) {
    const line = lines[index]!;
    if (line.trim() !== '' && !line.startsWith('#')) take(line.split(','), index + 1);
  }
  return undefined;
}

function readQuotedRows(text: string, take: TakeRow): BrokenTable | undefined {
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
        // Nothing for the parser to keep.
        return null;
      },
    });
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    const { lines } = error;
    return { line: typeof lines === 'number' ? lines : 1 };
  }
  return undefined;
}
