import type { StudyRecord } from '../study/record.ts';
import { type Cell, flatSummary } from '../summary/flat.ts';
import { csvCell } from './csv-cell.ts';
import { type CsvDialect, PLAIN_DIALECT } from './csv-dialect.ts';
import { type StudyShape, studyColumns } from './study-columns.ts';

/** Characters that are gathered before they are handed on. */
const CHUNK = 1 << 16;

/** How the table of a study is written, where it is not `results.csv`. */
export interface StudyCsvOptions {
  /** What `chosenColumns` gave; all of them if left out. */
  readonly columns?: readonly string[] | undefined;
  /** RFC 4180 with a decimal point if left out. */
  readonly dialect?: CsvDialect | undefined;
}

/** Writes the table of a study, a row a case, so that nothing is kept of a row that is written. */
export class StudyCsv {
  /** The first line, with its line end. */
  readonly header: string;
  readonly #columns: readonly string[];
  readonly #dialect: CsvDialect;

  constructor(shape: StudyShape, options: StudyCsvOptions = {}) {
    this.#columns = options.columns ?? studyColumns(shape);
    this.#dialect = options.dialect ?? PLAIN_DIALECT;
    this.header = this.#line(this.#columns);
  }

  /** A case as a line, with its line end. */
  row(record: StudyRecord): string {
    const cells = cellsOf(record);
    return this.#line(this.#columns.map((name) => cells[name] ?? null));
  }

  #line(cells: readonly Cell[]): string {
    const { delimiter } = this.#dialect;
    return `${cells.map((cell) => csvCell(cell, this.#dialect)).join(delimiter)}\n`;
  }
}

/**
 * The table of a study, piece by piece: header, then a row a record.
 * @param records as they come, in the order of the rows
 */
export async function* studyCsv(
  records: Iterable<StudyRecord> | AsyncIterable<StudyRecord>,
  shape: StudyShape,
  options: StudyCsvOptions = {},
): AsyncGenerator<string> {
  const table = new StudyCsv(shape, options);
  let text = table.header;
  for await (const record of records) {
    text += table.row(record);
    if (text.length < CHUNK) continue;
    yield text;
    text = '';
  }
  yield text;
}

/** What the columns hold for a case; what is not there leaves its cell empty. */
function cellsOf(record: StudyRecord): Readonly<Record<string, Cell>> {
  if (record.state === 'failed') {
    const { state, varied, tool, case: names, error } = record;
    return {
      ...varied,
      case_car: names.car,
      case_store: names.store,
      case_strategy: names.strategy,
      case_cycle: names.cycle,
      case_hash: names.hash,
      tool,
      state,
      // Its kind in front: no message, a plug-in's own with it, begins as a formula would.
      error: `${error.kind}: ${error.message}`,
    };
  }
  const { state, varied, ...summary } = record;
  return { ...flatSummary(summary), ...varied, state };
}
