import { accessSync, constants, existsSync, rmSync, statSync } from 'node:fs';
import { hostname } from 'node:os';
import { dirname, join } from 'node:path';
import { InputError } from '../config/problem.ts';
import { csvDialect } from '../output/csv-dialect.ts';
import { jsonText } from '../output/json.ts';
import { printable } from '../output/problems.ts';
import { counted } from '../output/study-words.ts';
import { evaluationsCsv } from '../output/tune-csv.ts';
import { isSearched, missWords } from '../output/tune-words.ts';
import { Journal } from '../study/journal.ts';
import { WorkerPool } from '../study/pool.ts';
import { Crew } from '../study/work.ts';
import { loadTune } from '../tune/load-tune.ts';
import { runTune, type Tuned } from '../tune/run-tune.ts';
import { Stopped } from '../tune/trials.ts';
import { type Tune, tunedKinds } from '../tune/tune.ts';
import { tunedFile } from '../tune/tuned-file.ts';
import { compileForManyCases } from './compiling.ts';
import { tellCleaning } from './cycle-inputs.ts';
import { GatesNotHeld } from './gates-not-held.ts';
import { Interrupted } from './interrupted.ts';
import { Interruption } from './interruption.ts';
import { isOneOf } from './same-file.ts';
import { writeErr } from './streams.ts';
import { inFolder } from './study-folder.ts';
import { durationText } from './study-progress.ts';
import type { TuneOptions } from './tune.ts';
import { printTune } from './tune-print.ts';
import { TuneProgressLine } from './tune-progress.ts';
import { writeWhole } from './whole-file.ts';

/** What is written into the folder of a tune, besides the journal. */
const FILES = { report: 'report.json', trials: 'evaluations.csv', made: 'made.json' } as const;

/**
 * Tunes numbers, and writes and prints what came of it.
 * @param path as `loadTune` takes it
 * @param options
 * @throws InputError for a tune or a place that cannot be used, Interrupted, GatesNotHeld when all is
 *   written but no numbers hold all constraints
 */
export async function tune(path: string, options: TuneOptions): Promise<void> {
  compileForManyCases();
  const loaded = await loadTune(path, options.timeLimit);
  try {
    await tuneLoaded(loaded, options);
  } catch (error) {
    if (error instanceof Interrupted) throw new Interrupted(error.signal, keptWords(options.out));
    throw error;
  } finally {
    loaded.check.end();
  }
}

async function tuneLoaded(loaded: Tune, options: TuneOptions): Promise<void> {
  for (const notice of loaded.notices) writeErr(`${printable(notice)}\n`);
  tellCleaning(loaded.drives);
  csvDialect(options);
  if (options.write !== undefined) refuseToWrite(options.write, loaded);
  const names = [...Object.values(FILES), ...tunedKinds(loaded).map(tunedName)];
  await inFolder(
    options.out,
    { kind: 'tune', name: loaded.name },
    loaded.files,
    (folder) => tuneIn(folder, loaded, options),
    names,
  );
}

async function tuneIn(folder: string, loaded: Tune, options: TuneOptions): Promise<void> {
  const started = new Date();
  const begun = performance.now();
  const { tuned, taken } = await searched(folder, loaded, options);
  const seconds = (performance.now() - begun) / 1e3;
  const { report, run } = tuned;
  if (options.out !== undefined) {
    const made = {
      started: started.toISOString(),
      finished: new Date().toISOString(),
      seconds,
      host: hostname(),
      node: process.version,
      platform: `${process.platform} ${process.arch}`,
      jobs: options.jobs,
      cases_run: run,
    };
    await writeFiles(folder, loaded, tuned, made);
  }
  if (options.write !== undefined && report.feasible) {
    const [kind] = tunedKinds(loaded);
    await writeTuned(options.write, kind!, loaded, tuned);
  }
  const sets = counted(report.search.different, 'set');
  const kept = taken ? ', others taken from before' : '';
  writeErr(
    `${sets} of numbers; ${counted(run, 'case')} run in ${durationText(seconds)}${kept}${whereWords(options, report.feasible)}\n`,
  );
  await printTune(report, options);
  if (report.feasible) return;
  const isThere = options.write !== undefined && existsSync(options.write);
  const left = isThere ? `, and ${printable(options.write)} is left as it was` : '';
  const [found, nearest] = isSearched(report)
    ? [
        'no numbers were found within the bounds that hold all constraints',
        '; of the set that comes nearest:',
      ]
    : [
        `the numbers of the files do not hold all constraints, and the budget of ${counted(report.search.budget, 'set')} of numbers has no room for others`,
        ':',
      ];
  throw new GatesNotHeld(
    [`${found}, so there is no tuned file${left}${nearest}`, ...missWords(report)].join('\n  '),
  );
}

/** Where what came of a tune is to be found, in words. */
function whereWords({ out, write }: TuneOptions, isFeasible: boolean): string {
  const results = out === undefined ? '' : `; results in ${printable(out)}`;
  const tuned = write === undefined || !isFeasible ? '' : `; tuned file ${printable(write)}`;
  return results + tuned;
}

/** Runs the search, with all that may end it. */
async function searched(
  folder: string,
  loaded: Tune,
  { out, jobs, timeLimit }: TuneOptions,
): Promise<{ readonly tuned: Tuned; readonly taken: boolean }> {
  const interruption = new Interruption();
  const { signal } = interruption;
  const journal = await Journal.open(folder);
  const taken = journal.count > 0;
  const progress = new TuneProgressLine(loaded.evaluations);
  let pool: WorkerPool | undefined;
  let crew: Crew | undefined;
  try {
    removeResults(folder, loaded);
    const outputs = { logs: false, explain: false, bound: false };
    pool = await WorkerPool.start(jobs, timeLimit);
    crew = new Crew(pool, { sources: loaded.sources, outputs }, folder, {
      failFast: false,
      signal,
      onFinished: () => undefined,
    });
    const tuned = await runTune(loaded, { crew, journal, signal }, (now) => progress.update(now));
    return { tuned, taken };
  } catch (error) {
    if (error instanceof Stopped) interruption.throwIfAny(keptWords(out));
    throw error;
  } finally {
    progress.end();
    crew?.end();
    await pool?.end();
    await journal.close();
    interruption.end();
  }
}

/** What is left of a tune that is ended, in words. */
function keptWords(out: string | undefined): string {
  if (out === undefined) return 'nothing is kept without `--out FOLDER`';
  return `what is finished is kept in ${printable(out)}; the same command goes on from there`;
}

/** Results of another search, or of an earlier one, must not look like those of this one. */
function removeResults(folder: string, loaded: Tune): void {
  const tuned = tunedKinds(loaded).map(tunedName);
  for (const name of [FILES.report, FILES.made, FILES.trials, ...tuned]) {
    rmSync(join(folder, name), { force: true });
  }
}

async function writeFiles(folder: string, loaded: Tune, tuned: Tuned, made: object): Promise<void> {
  const { report, trials } = tuned;
  if (report.feasible) {
    for (const kind of tunedKinds(loaded)) {
      await writeTuned(join(folder, tunedName(kind)), kind, loaded, tuned);
    }
  }
  const table = evaluationsCsv(loaded, trials);
  await writeWhole(join(folder, FILES.trials), (write) => write(table));
  await writeWhole(join(folder, FILES.made), (write) => write(jsonText(made)));
  await writeWhole(join(folder, FILES.report), (write) => write(jsonText(report)));
}

type Kind = ReturnType<typeof tunedKinds>[number];

function tunedName(kind: Kind): string {
  return `tuned-${kind}.json`;
}

async function writeTuned(path: string, kind: Kind, loaded: Tune, { best }: Tuned): Promise<void> {
  const { parts, numbers } = loaded;
  const text = tunedFile(kind, parts[kind], numbers, best.values, dirname(path));
  await writeWhole(path, (write) => write(text));
}

/** What would come to light only after the search. */
function refuseToWrite(path: string, loaded: Tune): void {
  const refuse = (code: string, found: string, expected: string, hint?: string): never => {
    const problem = { code, path: '--write', found, expected };
    throw new InputError([hint === undefined ? problem : { ...problem, hint }]);
  };
  if (path === '') refuse('cannot-write', 'no name', 'the name of a file');
  const kinds = tunedKinds(loaded);
  if (kinds.length > 1) {
    const both = kinds.join(' and ');
    refuse(
      'conflicting-options',
      `one file, where numbers of ${both} are tuned`,
      'numbers that stand in one file',
      'with `--out FOLDER` each of them is written',
    );
  }
  if (isOneOf(loaded.files, path)) {
    refuse(
      'replaces-input',
      `${path}, which is an input`,
      'another file: the tune starts from this one',
    );
  }
  if (statSync(path, { throwIfNoEntry: false })?.isDirectory() === true) {
    refuse('cannot-write', `${path}, a folder`, 'the name of a file');
  }
  const folder = dirname(path);
  if (statSync(folder, { throwIfNoEntry: false })?.isDirectory() !== true) {
    refuse('cannot-write', `no folder \`${folder}\``, 'a folder that is there', 'make it first');
  }
  try {
    accessSync(folder, constants.W_OK);
  } catch {
    refuse('cannot-write', `\`${folder}\``, 'a folder that may be written to');
  }
}
