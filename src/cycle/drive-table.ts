import { type Header, HeaderRow } from './columns.ts';
import { type Dialect, dialectOf, type ReadOptions } from './dialect.ts';
import type { Drive } from './drive.ts';
import { DriveRows } from './drive-rows.ts';
import { ProblemList } from './problem-list.ts';
import type { ReadReport } from './read-report.ts';
import type { Row } from './row.ts';
import { countOf } from './row-problems.ts';
import { RowReader } from './rows.ts';

/** Where a drive comes from. */
export interface CycleSource {
  /** File name for messages, as the user gave it. */
  readonly file: string;
  /** Short name of the drive for results. */
  readonly name: string;
}

/** A drive as it was logged, and what its file was found to be. */
export interface LoggedDrive {
  readonly drive: Drive;
  readonly report: ReadReport;
}

/**
 * The one way from a table in text form to a drive: header row, a row of units if there is one, then
 * a row a sample.
 */
export class DriveTable {
  readonly #source: CycleSource;
  readonly #strict: boolean;
  readonly #dialect: Dialect;
  readonly #problems: ProblemList;
  readonly #reader: RowReader;
  #headerRow: HeaderRow | undefined;
  #headerLine = 1;
  #unitsLine: number | undefined;
  #header: Header | undefined;
  #rows: DriveRows | undefined;
  #emptyRows = 0;
  #separatorLines = 0;

  /**
   * @param source where the table comes from
   * @param options how it is written
   * @param strict whether it has to be a cycle that can be driven as it stands: no columns but those
   *   of a cycle, no value missing or impossible
   * @throws InputError where the options exclude each other
   */
  constructor(source: CycleSource, options: ReadOptions, strict: boolean) {
    this.#source = source;
    this.#strict = strict;
    this.#dialect = dialectOf(options);
    this.#problems = new ProblemList(source.file);
    this.#reader = new RowReader(this.#dialect.delimiter, (row) => this.#take(row));
  }

  /**
   * Takes the next piece of the file.
   * @throws InputError as soon as nothing can be read of what follows
   */
  push(bytes: Uint8Array): void {
    this.#reader.push(bytes);
    if (this.#reader.broken !== undefined) this.end();
  }

  /**
   * The file ends here.
   * @returns the drive
   * @throws InputError with every problem of the file, in file order (after 20 only their number)
   */
  end(): LoggedDrive {
    this.#reader.end();
    if (this.#header === undefined && this.#headerRow !== undefined) this.#place(this.#headerRow);
    const { broken } = this.#reader;
    if (broken !== undefined) this.#problems.add(broken.line, broken.problem);
    const rows = this.#rows?.rows ?? 0;
    if (this.#problems.isEmpty && rows < 2) this.#addTooFewRows(rows);
    this.#problems.throwIfAny();
    const drive = this.#rows!.drive(this.#source.name);
    return { drive, report: this.#report(drive, this.#rows!) };
  }

  #take(row: Row): void {
    if (row.isAllEmpty()) {
      this.#emptyRows++;
    } else if (this.#rows !== undefined) {
      this.#rows.take(row);
    } else if (this.#headerRow === undefined) {
      this.#beginHeader(row);
    } else {
      const cells = row.cells().map((cell) => cell.trim());
      const isUnits = this.#headerRow.isUnitsRow(cells);
      if (isUnits) this.#unitsLine = row.line;
      this.#place(this.#headerRow, isUnits ? cells : []);
      if (!isUnits) this.#rows!.take(row);
    }
  }

  #beginHeader(row: Row): void {
    const cells = row.cells();
    this.#headerLine = row.line;
    if (tellsDelimiter(cells)) {
      this.#separatorLines++;
      return;
    }
    this.#headerRow = new HeaderRow(cells, this.#dialect, this.#strict);
    const problem = this.#headerRow.formProblem();
    if (problem === undefined) return;
    this.#problems.add(row.line, problem);
    this.#problems.throwIfAny();
  }

  /** @throws InputError where there is no drive under this header, whatever the rows hold */
  #place(headerRow: HeaderRow, units: readonly string[] = []): void {
    const header = headerRow.place(units);
    this.#header = header;
    for (const problem of header.problems) this.#problems.add(this.#headerLine, problem);
    for (const problem of header.unitProblems) this.#problems.add(this.#unitsLine, problem);
    const { time, speed, latitude, longitude } = header.columns;
    if (
      time === undefined ||
      (speed ?? latitude) === undefined ||
      (speed ?? longitude) === undefined
    )
      this.#problems.throwIfAny();
    this.#rows = new DriveRows(
      header,
      this.#headerLine,
      this.#dialect,
      this.#strict,
      this.#problems,
      this.#source.file,
    );
  }

  #addTooFewRows(rows: number): void {
    const isEmpty = this.#headerRow === undefined;
    this.#problems.add(this.#headerLine, {
      code: isEmpty ? 'empty-file' : 'too-few-rows',
      found: isEmpty ? 'no row' : countOf(rows, 'row'),
      expected: `${isEmpty ? 'a header row and ' : ''}two rows of numbers at least`,
      hint: 'a car is driven from one sample to the next: `time_s,speed_kmh`, then `0,0`, `1,3.6` …',
    });
  }

  #report(drive: Drive, rows: DriveRows): ReadReport {
    return {
      form: 'csv',
      rows: drive.time.length,
      headerLine: this.#headerLine,
      ...(this.#unitsLine === undefined ? {} : { unitsLine: this.#unitsLine }),
      ignored: this.#header!.ignored,
      comments: this.#reader.comments + this.#separatorLines,
      blanks: this.#reader.blanks + this.#emptyRows,
      ...rows.report(),
    };
  }
}

/** `sep=;` above the header tells a spreadsheet program the delimiter: it is cut into two cells. */
function tellsDelimiter(cells: readonly string[]): boolean {
  return cells.length === 2 && cells[0]!.trim().toLowerCase() === 'sep=' && cells[1]!.trim() === '';
}
