import { type Cell, groupCells } from '../summary/flat.ts';
import type { SprintSummary } from '../summary/sprint-summary.ts';
import type { CsvDialect } from './csv-dialect.ts';
import { recordsCsv } from './records-csv.ts';
import { sprintSheets } from './sprint-sections.ts';

const FILLS = ['none', 'empty', 'half', 'full'];

/**
 * A sprint as CSV: a row for the car on its own and for each fill of the store. The columns are the
 * keys of the JSON document with their groups in front and their unit at the end.
 */
export function sprintCsv(summary: SprintSummary, dialect?: CsvDialect): string {
  const { tool, case: names, conditions } = summary;
  const rows = sprintSheets(summary).map((sheet, i) => {
    const { not_reached, ...figures } = sheet;
    return Object.fromEntries([
      ['tool', tool],
      ['car', names.car],
      ['store', names.store],
      ['hash', names.hash],
      ['fill', FILLS[i]!],
      ...groupCells(conditions, unitLast),
      ...groupCells(figures, unitLast),
      ['not_reached', not_reached.join(' | ')],
    ] as [string, Cell][]);
  });
  return recordsCsv(rows, dialect);
}

/** `engine_limit_s_adhesion` is `engine_limit_adhesion_s`. */
function unitLast(name: string): string {
  return name.replace(/^(engine_limit|store_limit)_s_(.+)$/, '$1_$2_s');
}
