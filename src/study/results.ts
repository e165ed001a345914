import { statSync } from 'node:fs';
import { join } from 'node:path';
import { type CheckedRecord, checkRecord, type Place } from '../config/check-record.ts';
import { shown } from '../config/document.ts';
import { readText } from '../config/files.ts';
import { parseJson } from '../config/json.ts';
import { InputError, type Problem } from '../config/problem.ts';
import { readStandardInput, STANDARD_INPUT } from '../config/standard-input.ts';
import { flatSummary } from '../summary/flat.ts';
import type { Summary } from '../summary/summary.ts';
import { recordsIn } from './record-lines.ts';
import { readManifest } from './result-manifest.ts';
import { type ColumnPlaces, Figures, type ResultRow } from './result-row.ts';

/** A result that was read: of one run, or of a study. */
export interface Result {
  /** As the user gave it, or what stands for it. */
  readonly source: string;
  /** Name of the study; null for a run. */
  readonly study: string | null;
  /** Programs that made it: one, unless it was put together by hand. */
  readonly tools: readonly string[];
  /** Null where the result does not say. */
  readonly modelVersion: string | null;
  /** As the study gives them. */
  readonly cycleShares: Readonly<Record<string, number>> | null;
  /** Paths of the varied numbers. */
  readonly varied: readonly string[];
  /** Columns that hold figures. */
  readonly figures: ReadonlySet<string>;
  readonly rows: readonly ResultRow[];
}

const WHAT = 'a result: the JSON of a run, or a folder that `study --out` wrote';

/** Columns of results that are read. */
export interface WantedColumns {
  /** Every case that ran must have them. */
  readonly required: readonly string[];
  /** Further ones; NaN where a case has none. */
  readonly asked: readonly string[];
}

/**
 * Reads a result.
 *
 * @param source file with the JSON of `run --format json`, `-` for standard input, or the folder of a
 *   study
 * @param columns whose figures are kept
 * @throws InputError where it is none, or not whole: an unfinished study, a shard
 */
export async function readResult(source: string, columns: WantedColumns): Promise<Result> {
  if (source === '-') return runResult(await readStandardInput(WHAT), STANDARD_INPUT, columns);
  if (statSync(source, { throwIfNoEntry: false })?.isDirectory() === true) {
    return studyResult(source, columns);
  }
  return runResult(readText(source, WHAT), source, columns);
}

function runResult(text: string, source: string, columns: WantedColumns): Result {
  const { value } = parseJson(text, source);
  const rows = new RowReader(columns);
  rows.add(value, { file: source });
  return { ...rows.result(), source, study: null, modelVersion: null, cycleShares: null };
}

function studyResult(source: string, columns: WantedColumns): Result {
  const { cases, study, modelVersion, cycleShares } = readManifest(source);
  const rows = new RowReader(columns);
  const file = join(source, 'results.jsonl');
  recordsIn(file, (value, place) => rows.add(value, place));
  const result = rows.result();
  if (result.rows.length !== cases) throw notWhole(file, result.rows.length, cases);
  return { ...result, source, study, modelVersion, cycleShares };
}

function notWhole(file: string, found: number, cases: number): InputError {
  return new InputError([
    {
      code: 'not-whole',
      file,
      found: `${found} cases`,
      expected: `${cases}, as manifest.json says`,
      hint: 'run the study again with the same --out: it goes on where it stopped',
    },
  ]);
}

/** What a record is flattened to, and what is kept of it. */
class RowReader {
  readonly #required: readonly string[];
  readonly #places: ColumnPlaces;
  readonly #rows: ResultRow[] = [];
  readonly #varied: string[] = [];
  readonly #tools = new Set<string>();
  readonly #figures = new Set<string>();
  readonly #texts = new Set<string>();
  /** One string object for each name, however many cases bear it. */
  readonly #names = new Map<string, string>();
  #columns = 0;

  constructor({ required, asked }: WantedColumns) {
    this.#required = required;
    const columns = new Set([...required, ...asked]);
    this.#places = new Map([...columns].map((name, place) => [name, place]));
  }

  add(value: unknown, place: Place): void {
    const record = checkRecord(value, place);
    this.#tools.add(record.tool);
    const { car, store, strategy, cycle, hash } = record.case;
    this.#rows.push({
      names: {
        car: this.#once(car),
        store: this.#once(store),
        strategy: this.#once(strategy),
        cycle: this.#once(cycle),
      },
      varied: this.#variedOf(record),
      hash,
      failure: record.failure,
      figures: this.#figuresOf(record, place),
    });
  }

  result() {
    for (const text of this.#texts) this.#figures.delete(text);
    return {
      tools: [...this.#tools],
      varied: this.#varied,
      figures: this.#figures,
      rows: this.#rows,
    };
  }

  #once(name: string): string {
    const known = this.#names.get(name);
    if (known === undefined) this.#names.set(name, name);
    return known ?? name;
  }

  #variedOf({ varied }: CheckedRecord): (number | null | undefined)[] {
    for (const path of Object.keys(varied)) {
      if (!this.#varied.includes(path)) this.#varied.push(path);
    }
    return this.#varied.map((path) => varied[path]);
  }

  #figuresOf({ failure, summary }: CheckedRecord, place: Place): Figures {
    const values = new Float64Array(this.#places.size).fill(Number.NaN);
    if (failure === null) {
      const flat = flattened(summary, place);
      this.#learn(flat);
      const problems = this.#required.flatMap((column) => missing(column, flat[column], place));
      if (problems.length > 0) throw new InputError(problems);
      for (const [column, at] of this.#places) {
        const value = flat[column];
        if (typeof value === 'number') values[at] = value;
        else if (value !== null && value !== undefined) this.#texts.add(column);
      }
    }
    return new Figures(this.#places, values);
  }

  /** Learns which columns hold figures; a case with as many columns as known ones has the same. */
  #learn(flat: Readonly<Record<string, unknown>>): void {
    const names = Object.keys(flat);
    if (names.length === this.#columns) return;
    this.#columns = names.length;
    for (const name of names) {
      const value = flat[name];
      if (value === null || typeof value === 'number') this.#figures.add(name);
      else this.#texts.add(name);
    }
  }
}

/** A summary as a row, from whatever a file holds. */
function flattened(
  summary: CheckedRecord['summary'],
  place: Place,
): Readonly<Record<string, unknown>> {
  try {
    return flatSummary(summary as unknown as Summary);
  } catch {
    // Its groups are of another shape than any version of the program has written.
    throw new InputError([
      {
        code: 'no-result',
        ...place,
        found: 'figures in an order of their own',
        expected: 'a result as the program wrote it',
      },
    ]);
  }
}

function missing(column: string, value: unknown, place: Place): Problem[] {
  if (value === null || Number.isFinite(value)) return [];
  const found = value === undefined ? 'no such figure' : shown(value);
  return [{ code: 'missing-figure', ...place, path: column, found, expected: 'a number' }];
}
