import { flatSummary } from '../summary/flat.ts';
import type { Summary } from '../summary/summary.ts';
import type { CsvDialect } from './csv-dialect.ts';
import { recordsCsv } from './records-csv.ts';

/** A summary as CSV: a header and one row, for a spreadsheet or to be put under other rows. */
export function summaryCsv(summary: Summary, dialect?: CsvDialect): string {
  return recordsCsv([flatSummary(summary)], dialect);
}
