import { isBareName } from '../config/files.ts';
import { inputHash } from '../config/hash.ts';
import { loadInlineCycle } from '../config/inline-cycle.ts';
import { type JsonPath, pathText } from '../config/json.ts';
import { type LoadedCycle, loadCycle } from '../config/load-cycle.ts';
import type { DriveReport } from '../config/load-drive.ts';
import { InputError } from '../config/problem.ts';
import type { InlineCycle } from '../config/study-file.ts';
import { parseComposition } from '../cycle/composition.ts';
import { withConvert } from './convert-hint.ts';
import { inStudy } from './documents.ts';
import { globbed, isCycleGlob } from './named-files.ts';
import type { Listed, PartList } from './part-list.ts';
import type { CycleSource } from './sources.ts';
import type { StudyProblems } from './study-problems.ts';

/** A cycle that was loaded to see that it can be; only what it is known by is kept. */
export interface CyclePart extends Listed {
  readonly source: CycleSource;
  /** What was found and done when its drives were loaded, without a list of every change. */
  readonly drives: readonly DriveReport[];
}

/**
 * Loads the cycle that a source stands for.
 * @throws InputError with every problem of it
 */
export async function cycleFrom(source: CycleSource): Promise<LoadedCycle> {
  if (source.form === 'named') return loadCycle(source.text, {}, source.folder);
  return loadInlineCycle(source.value as InlineCycle);
}

/**
 * Lists the cycles of a study.
 *
 * @param entries of the study's list; an object among them has passed its schema
 * @param list to which they are added
 * @param problems to which what is wrong with them is added
 */
export async function listCycles(
  entries: readonly unknown[],
  list: PartList<CyclePart>,
  problems: StudyProblems,
): Promise<void> {
  for await (const { part, place } of cyclesIn('cycles', entries, problems)) list.list(part, place);
}

/**
 * The cycles that a list names or holds, those that can be loaded, each with its place.
 * @param key of the list in its file
 * @param entries of it; an object among them has passed its schema
 * @param problems to which what is wrong with the others is added
 */
export async function* cyclesIn(
  key: string,
  entries: readonly unknown[],
  problems: StudyProblems,
): AsyncGenerator<{ readonly part: CyclePart; readonly place: JsonPath }> {
  for (const [index, entry] of entries.entries()) {
    const place = [key, index];
    for (const source of sourcesOf(entry, place, problems)) {
      const part = await cyclePart(source, place, problems);
      if (part !== undefined) yield { part, place };
    }
  }
}

/**
 * The cycle that a case names by what the list could name as well, but no pattern.
 * @returns undefined where something is wrong with it
 */
export function cycleNamed(
  text: string,
  place: JsonPath,
  problems: StudyProblems,
): Promise<CyclePart | undefined> {
  return cyclePart(named(text, problems.document.folder), place, problems);
}

function sourcesOf(entry: unknown, place: JsonPath, problems: StudyProblems): CycleSource[] {
  const { folder, file } = problems.document;
  if (typeof entry !== 'string') {
    return [{ form: 'inline', name: (entry as InlineCycle).name, file, value: entry }];
  }
  if (!isCycleGlob(entry, folder)) return [named(entry, folder)];
  try {
    return globbed(entry, problems.document).map((path) =>
      named(isBareName(path) ? `./${path}` : path, folder),
    );
  } catch (error) {
    problems.of(place, timesFault(entry) ?? error);
    return [];
  }
}

/** What is wrong with `100000*udds`, which is taken for a pattern and fits nothing. */
function timesFault(text: string): unknown {
  if (!/^\d[\w.]*\*\w/.test(text)) return undefined;
  try {
    parseComposition(text);
    return undefined;
  } catch (error) {
    return error;
  }
}

function named(text: string, folder: string): CycleSource {
  return { form: 'named', name: text, text, folder };
}

async function cyclePart(
  source: CycleSource,
  place: JsonPath,
  problems: StudyProblems,
): Promise<CyclePart | undefined> {
  try {
    const { name, identity, drives } = await cycleFrom(source);
    return {
      name,
      digest: inputHash(identity),
      ...(source.form === 'named'
        ? { from: source.text, path: source.text }
        : { from: `\`${pathText(place)}\`` }),
      source: { ...source, name },
      drives: drives.map(briefly),
    };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    if (source.form === 'named') {
      problems.of(place, new InputError(withConvert(error.problems)));
      return undefined;
    }
    const { document } = problems;
    for (const problem of error.problems) {
      const [, key = '', index] = /^(\w+)(?:\[(\d+)\])?$/.exec(problem.path ?? '') ?? [];
      const line =
        document.lineOf([...place, key, Number(index)]) ??
        document.lineOf([...place, key]) ??
        document.lineOf(place);
      problems.inline({
        ...inStudy(problem, place),
        file: document.file,
        ...(line === undefined ? {} : { line }),
      });
    }
    return undefined;
  }
}

/** A report with its changes counted and not listed: a study may have thousands of logs. */
function briefly(report: DriveReport): DriveReport {
  const { cleaning } = report;
  if (cleaning === undefined) return report;
  const { time, unlisted } = cleaning.changes;
  const changes = {
    time: new Float64Array(0),
    line: new Uint32Array(0),
    kind: new Uint8Array(0),
    before: new Float64Array(0),
    after: new Float64Array(0),
    unlisted: unlisted + time.length,
  };
  return { ...report, cleaning: { ...cleaning, changes } };
}
