import { DefectError } from '../config/problem.ts';
import type { Cell } from '../summary/flat.ts';
import { type CsvDialect, PLAIN_DIALECT } from './csv-dialect.ts';

/**
 * A value as a cell of a table. Numbers are written with the fewest digits that read back as the
 * same double, yes and no as 1 and 0; text is quoted where it must be, and never changed.
 * @throws DefectError for a number that is none: no result may hold one
 */
export function csvCell(value: Cell, dialect: CsvDialect = PLAIN_DIALECT): string {
  if (typeof value !== 'string') return numberCell(value, dialect);
  if (!mustBeQuoted(value, dialect.delimiter)) return value;
  return `"${value.replaceAll('"', '""')}"`;
}

/** A value that is no text, as a cell; it needs no quotation marks in any dialect. */
export function numberCell(value: Exclude<Cell, string>, { decimal }: CsvDialect): string {
  if (value === null) return '';
  if (typeof value === 'boolean') return value ? '1' : '0';
  if (!Number.isFinite(value)) throw new DefectError(`a result is ${value}`);
  const text = String(value);
  return decimal === '.' ? text : text.replace('.', decimal);
}

/** Cells of other dialects are text alike: quotation marks and line ends mean the same in all. */
function mustBeQuoted(text: string, delimiter: string): boolean {
  return text.includes(delimiter) || /["\r\n]/.test(text);
}
