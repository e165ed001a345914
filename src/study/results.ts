import { statSync } from 'node:fs';
import { join } from 'node:path';
import { type CheckedRecord, checkRecord, type Place } from '../config/check-record.ts';
import { shown } from '../config/document.ts';
import { readText } from '../config/files.ts';
import { parseJson } from '../config/json.ts';
import { InputError, type Problem } from '../config/problem.ts';
import { readStandardInput, STANDARD_INPUT } from '../config/standard-input.ts';
import type { CaseNames, Summary } from '../summary/summary.ts';
import { FILES } from './output-folder.ts';
import { readManifest } from './read-manifest.ts';
import { recordsIn } from './record-lines.ts';
import { cellReader, figureColumns } from './result-columns.ts';
import { FigureStore, type ResultRow } from './result-row.ts';
import type { Shard } from './shard.ts';

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
 * @throws InputError where it is none, or not whole: an unfinished study, a shard, records that were
 *   changed since
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
  const manifest = readManifest(source);
  const { cases, study, model_version: modelVersion, cycle_shares: cycleShares } = manifest;
  if (manifest.shard !== null) throw ofShard(source, manifest.shard);
  const rows = new RowReader(columns);
  const file = join(source, FILES.records);
  const digest = recordsIn(file, (value, place) => rows.add(value, place));
  const result = rows.result();
  if (result.rows.length !== cases) throw notWhole(file, result.rows.length, cases);
  if (digest !== manifest.records_sha256) throw changed(source);
  return { ...result, source, study, modelVersion, cycleShares };
}

function ofShard(source: string, { k, n }: Shard): InputError {
  return new InputError([
    {
      code: 'shard',
      file: source,
      found: `shard ${k}/${n} of a study`,
      expected: 'the whole study',
      hint: 'put the shards together first: `spinledger study --merge DIR... --out DIR`',
    },
  ]);
}

function notWhole(file: string, found: number, cases: number): InputError {
  return new InputError([
    {
      code: 'not-whole',
      file,
      found: `${found} cases`,
      expected: `${cases}, as manifest.json says`,
      hint: 'run the study again with the same `--out`: it goes on where it stopped',
    },
  ]);
}

function changed(folder: string): InputError {
  return new InputError([
    {
      code: 'changed-results',
      file: join(folder, FILES.records),
      found: `other content than ${FILES.manifest} beside it was written with`,
      expected: 'the file as the study wrote it, unedited',
      hint: 'copy the folder again, or run the study again with the same `--out`: its finished cases are kept',
    },
  ]);
}

/** Takes in the records of a result, and keeps little of each. */
class RowReader {
  readonly #required: readonly string[];
  readonly #readers: readonly (readonly [column: string, read: ReturnType<typeof cellReader>])[];
  readonly #store: FigureStore;
  readonly #rows: ResultRow[] = [];
  readonly #varied: string[] = [];
  readonly #tools = new Set<string>();
  readonly #figures = new Set<string>();
  readonly #texts = new Set<string>();
  /** One object for all cases that are called the same. */
  readonly #names = new Map<string, CaseNames>();
  /** Whether columns were learnt from a case with steps of its saving, or without, or from none. */
  #learnt: boolean | undefined;

  constructor({ required, asked }: WantedColumns) {
    this.#required = required;
    const columns = [...new Set([...required, ...asked])];
    this.#readers = columns.map((column) => [column, cellReader(column)]);
    this.#store = new FigureStore(columns);
  }

  add(value: unknown, place: Place): void {
    const record = checkRecord(value, place);
    this.#tools.add(record.tool);
    this.#rows.push({
      names: this.#namesOf(record),
      varied: this.#variedOf(record),
      hash: record.case.hash,
      failure: record.failure,
      figures: this.#store.add(record.failure === null ? this.#valuesOf(record, place) : []),
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

  #namesOf({ case: { car, store, strategy, cycle } }: CheckedRecord): CaseNames {
    const key = JSON.stringify([car, store, strategy, cycle]);
    const known = this.#names.get(key);
    if (known !== undefined) return known;
    const names = { car, store, strategy, cycle };
    this.#names.set(key, names);
    return names;
  }

  #variedOf({ varied }: CheckedRecord): (number | null | undefined)[] {
    for (const path of Object.keys(varied)) {
      if (!this.#varied.includes(path)) this.#varied.push(path);
    }
    return this.#varied.map((path) => varied[path]);
  }

  #valuesOf({ summary: checked }: CheckedRecord, place: Place): number[] {
    const summary = checked as unknown as Summary;
    this.#learn(summary);
    const problems: Problem[] = [];
    const values = this.#readers.map(([column, read]) => {
      const value = read(summary);
      if (this.#required.includes(column)) problems.push(...missing(column, value, place));
      if (typeof value === 'number') return value;
      if (value !== null && value !== undefined) this.#texts.add(column);
      return Number.NaN;
    });
    if (problems.length > 0) throw new InputError(problems);
    return values;
  }

  /** Learns which columns hold figures: all cases have the same, but for the steps of a saving. */
  #learn(summary: Summary): void {
    const hasSteps = summary.waterfall !== undefined;
    if (this.#learnt === hasSteps || this.#learnt === true) return;
    this.#learnt = hasSteps;
    for (const column of figureColumns(summary)) this.#figures.add(column);
  }
}

function missing(column: string, value: unknown, place: Place): Problem[] {
  if (value === null || Number.isFinite(value)) return [];
  const found = value === undefined ? 'no such figure' : shown(value);
  return [{ code: 'missing-figure', ...place, path: column, found, expected: 'a number' }];
}
