import { createHash } from 'node:crypto';
import { join } from 'node:path';
import { jsonText } from '../output/json.ts';
import type { StudyShape } from '../output/study-columns.ts';
import { StudyCsv, type StudyCsvOptions } from '../output/study-csv.ts';
import type { Counts, Manifest } from '../study/manifest.ts';
import { FILES } from '../study/output-folder.ts';
import { Ranker } from '../study/rank.ts';
import type { Ranking } from '../study/ranking.ts';
import type { StudyRecord } from '../study/record.ts';
import { writeWhole } from './whole-file.ts';

/** Characters that are gathered before they are written. */
const CHUNK = 1 << 16;

/** Where finished cases come from, and what they are. */
export interface StudyResults {
  /** Lines of `results.jsonl` without their ends; can be asked for again */
  readonly records: () => Iterable<string>;
  readonly shape: StudyShape;
  readonly cycleShares: Manifest['cycle_shares'];
  readonly manifest: (counts: Counts, recordsHash: string) => Manifest;
}

/** What all cases come to. */
export interface Outcome {
  readonly manifest: Manifest;
  readonly ranking: Ranking;
  /** Cases that failed by a fault of the program */
  readonly defects: number;
}

/**
 * Writes the results of a study into its folder, each file whole, the manifest last. They are made
 * from one record after the other, so memory does not grow with their number.
 * @param folder that is ours
 * @param results
 * @param tolerance shortfall from which on a trace is not followed [%]
 * @param made what goes into `made.json`, and into no other file
 * @throws Interrupted soon after a signal; InputError where they cannot be written
 */
export async function writeResults(
  folder: string,
  { records, shape, cycleShares, manifest }: StudyResults,
  tolerance: number,
  made: object,
): Promise<Outcome> {
  const file = (name: keyof typeof FILES) => join(folder, FILES[name]);
  const digest = createHash('sha256');
  await writeWhole(file('records'), async (write, heed) => {
    const out = new Gathered((text) => {
      digest.update(text);
      write(text);
    });
    for (const record of records()) {
      if (out.add(`${record}\n`)) await heed();
    }
    out.end();
  });
  const table = new StudyCsv(shape);
  const ranker = new Ranker({ varied: shape.varied, cycleShares, tolerance });
  let defects = 0;
  await writeWhole(file('table'), async (write, heed) => {
    const out = new Gathered(write);
    out.add(table.header);
    for (const text of records()) {
      const record: StudyRecord = JSON.parse(text);
      ranker.add(record);
      if (record.state === 'failed' && record.error.kind === 'defect') defects++;
      if (out.add(table.row(record))) await heed();
    }
    out.end();
  });
  const ranking = ranker.ranking();
  const whole = manifest(ranking, digest.digest('hex'));
  await writeWhole(file('made'), (write) => write(jsonText(made)));
  await writeWhole(file('manifest'), (write) => write(jsonText(whole)));
  return { manifest: whole, ranking, defects };
}

/**
 * Writes the table of a study as the user wants it.
 * @param results
 * @param options
 * @param write
 * @param heed waited for now and then: may throw to end it
 */
export async function writeTable(
  { records, shape }: StudyResults,
  options: StudyCsvOptions,
  write: (text: string) => void,
  heed: () => Promise<void>,
): Promise<void> {
  const table = new StudyCsv(shape, options);
  const out = new Gathered(write);
  out.add(table.header);
  for (const record of records()) {
    if (out.add(table.row(JSON.parse(record)))) await heed();
  }
  out.end();
}

/** Text that is handed on in large pieces. */
class Gathered {
  readonly #write: (text: string) => void;
  #text = '';

  constructor(write: (text: string) => void) {
    this.#write = write;
  }

  /** Returns whether there was enough to be handed on. */
  add(text: string): boolean {
    this.#text += text;
    if (this.#text.length < CHUNK) return false;
    this.#write(this.#text);
    this.#text = '';
    return true;
  }

  end(): void {
    this.#write(this.#text);
  }
}
