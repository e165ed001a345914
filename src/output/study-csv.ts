import { BOUND_COLUMNS } from '../study/bound-columns.ts';
import type { DoneRecord, StudyRecord } from '../study/record.ts';
import { type Cell, flatWaterfall } from '../summary/flat.ts';
import { FLAT_COLUMNS } from '../summary/flat-columns.ts';
import { csvCell } from './csv-cell.ts';
import { type CsvDialect, PLAIN_DIALECT } from './csv-dialect.ts';
import { type StudyShape, studyColumns } from './study-columns.ts';

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
  readonly #readers: readonly Reader[];
  readonly #dialect: CsvDialect;

  constructor(shape: StudyShape, options: StudyCsvOptions = {}) {
    const columns = options.columns ?? studyColumns(shape);
    this.#dialect = options.dialect ?? PLAIN_DIALECT;
    this.#readers = readersOf(columns);
    this.header = this.#line(columns);
  }

  /** A case as a line, with its line end. */
  row(record: StudyRecord): string {
    return this.#line(this.#readers.map((read) => read(record)));
  }

  #line(cells: readonly Cell[]): string {
    const { delimiter } = this.#dialect;
    let line = '';
    for (let k = 0; k < cells.length; k++) {
      line += (k === 0 ? '' : delimiter) + csvCell(cells[k]!, this.#dialect);
    }
    return `${line}\n`;
  }
}

/** Reads a cell; what a case does not have leaves it empty. */
type Reader = (record: StudyRecord) => Cell;

/** What every case has, finished or failed. */
const ALWAYS: { readonly [column: string]: Reader } = {
  case_car: (record) => record.case.car,
  case_store: (record) => record.case.store,
  case_strategy: (record) => record.case.strategy,
  case_cycle: (record) => record.case.cycle,
  case_hash: (record) => record.case.hash,
  tool: (record) => record.tool,
  state: (record) => record.state,
  // Its kind in front: so no message, a plug-in's own among them, begins as a formula would.
  error: (record) =>
    record.state === 'failed' ? `${record.error.kind}: ${record.error.message}` : null,
};

function readersOf(columns: readonly string[]): Reader[] {
  const figures = new Map<string, (record: DoneRecord) => Cell>(
    [...FLAT_COLUMNS, ...BOUND_COLUMNS].map(({ name, of }) => [name, of]),
  );
  const steps = new Set(Object.keys(flatWaterfall(undefined)));
  const stepsOf = stepReader();
  return columns.map((name): Reader => {
    const always = ALWAYS[name];
    if (always !== undefined) return always;
    const figure = figures.get(name);
    if (figure !== undefined) return (record) => (record.state === 'done' ? figure(record) : null);
    if (steps.has(name)) return (record) => stepsOf(record)[name] ?? null;
    return (record) => record.varied[name] ?? null;
  });
}

/** The steps of a saving as cells, made once a case and not once a column. */
function stepReader(): (record: StudyRecord) => Readonly<Record<string, Cell>> {
  let last: StudyRecord | undefined;
  let cells: Readonly<Record<string, Cell>> = {};
  return (record) => {
    if (record !== last) {
      cells = record.state === 'done' ? flatWaterfall(record.waterfall) : {};
      last = record;
    }
    return cells;
  };
}
