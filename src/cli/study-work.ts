import { printable } from '../output/problems.ts';
import { counted } from '../output/study-words.ts';
import type { Failure } from '../study/chunk.ts';
import type { Journal } from '../study/journal.ts';
import { removeResults, removeUnfinished } from '../study/output-folder.ts';
import type { Plan } from '../study/plan.ts';
import type { WorkerPool } from '../study/pool.ts';
import { unfinished } from '../study/records.ts';
import { countOf, type Shard } from '../study/shard.ts';
import { type Progress, runCases } from '../study/work.ts';
import { CasesFailed } from './cases-failed.ts';
import { writeErr } from './streams.ts';
import type { StudyOptions } from './study.ts';
import { makeLogsFolder } from './study-folder.ts';
import { durationText, StudyProgress } from './study-progress.ts';
import { hasSameResults, replacedWords } from './study-replaced.ts';

/** The cases of a study that are still to be run. */
export class StudyWork {
  readonly #folder: string;
  readonly #plan: Plan;
  readonly #shard: Shard | undefined;
  readonly #journal: Journal;
  readonly #options: StudyOptions;
  readonly #indices: readonly number[];
  readonly #total: number;
  #elapsed = 0;
  #progress: Progress = { finished: 0, failed: 0 };

  constructor(
    folder: string,
    plan: Plan,
    shard: Shard | undefined,
    journal: Journal,
    options: StudyOptions,
  ) {
    this.#folder = folder;
    this.#plan = plan;
    this.#shard = shard;
    this.#journal = journal;
    this.#options = options;
    this.#indices = unfinished(plan, shard, folder, journal);
    this.#total = shard === undefined ? plan.count : countOf(shard, plan.count);
  }

  /** Cases that were finished before. */
  get #taken(): number {
    return this.#total - this.#indices.length;
  }

  /**
   * Runs them.
   * @param pool of workers
   * @param signal that ends the work
   * @throws CasesFailed where a case failed and that is to be the end
   */
  async run(pool: WorkerPool, signal: AbortSignal): Promise<void> {
    const { failFast = false } = this.#options;
    const { name: study, hash: plan } = this.#plan;
    const results = { study, plan, shard: this.#shard ?? null };
    const replaced = replacedWords(this.#folder, results);
    if (replaced !== undefined) writeErr(`${replaced}\n`);
    this.#tellBeginning();
    // Those that come again take the place of what is there, file by file.
    const isSame = this.#indices.length === 0 && hasSameResults(this.#folder, results);
    if (!isSame) removeResults(this.#folder);
    if (this.#plan.outputs.logs) makeLogsFolder(this.#folder);
    const shown = new StudyProgress(this.#total, this.#taken);
    const begun = performance.now();
    try {
      this.#progress = await runCases(
        this.#plan,
        this.#indices,
        this.#folder,
        this.#journal,
        pool,
        {
          failFast,
          signal,
          onFinished: (now) => shown.update(now),
        },
      );
    } finally {
      shown.end();
      removeUnfinished(this.#folder);
    }
    this.#elapsed = performance.now() - begun;
    const { failure } = this.#progress;
    if (failFast && failure !== undefined) throw this.#stoppedAt(failure);
  }

  /** What goes into `made.json`. */
  get made() {
    return {
      seconds: this.#elapsed / 1e3,
      jobs: this.#options.jobs,
      cases_run: this.#progress.finished,
      cases_taken: this.#taken,
    };
  }

  tellEnd(): void {
    const { out, jobs } = this.#options;
    const { finished } = this.#progress;
    const where = out === undefined ? '' : `; results in ${printable(out)}`;
    const at = jobs === 1 ? 'one' : jobs;
    const run = `${counted(finished, 'case')} run in ${durationText(this.#elapsed / 1e3)}, ${at} at a time`;
    writeErr(`${run}${where}\n`);
  }

  /** What may surprise whoever runs a study again. */
  #tellBeginning(): void {
    const { damaged, path } = this.#journal;
    // They stay in the journal; once their cases are there again, they are no news.
    if (damaged > 0 && this.#indices.length > 0) {
      writeErr(
        `${printable(path)}: ${counted(damaged, 'line')} damaged; what this study has of such cases runs again\n`,
      );
    }
    if (this.#taken === 0 || this.#options.out === undefined) return;
    const left = `${this.#indices.length} of ${counted(this.#total, 'case')} are left to run`;
    writeErr(
      `${counted(this.#taken, 'case')} finished before and kept in ${printable(this.#options.out)}; ${left}\n`,
    );
  }

  #stoppedAt({ names, error }: Failure): CasesFailed {
    const { car, store, strategy, cycle } = names;
    const which = printable([car, store, strategy, cycle].join(', '));
    const why = `${error.kind}: ${printable(error.message)}`;
    const message = `stopped at ${which}\n  ${why}\n${this.soFar}`;
    return new CasesFailed(message, error.kind === 'defect');
  }

  /** Where it stands when it is ended, in words. */
  get soFar(): string {
    const { out } = this.#options;
    const { finished, failed } = this.#progress;
    const done = this.#taken + finished;
    return soFarWords({ total: this.#total, done, failed }, out);
  }
}

/**
 * Where a study stands that was ended.
 * @param counts of its cases, of those that are finished, and of those among them that failed
 * @param out folder that keeps them
 */
export function soFarWords(
  {
    total,
    done,
    failed,
  }: { readonly total: number; readonly done: number; readonly failed: number },
  out: string | undefined,
): string {
  const finished = `${done} of ${counted(total, 'case')} are finished`;
  if (out === undefined) return `${finished}, and nothing is kept without \`--out FOLDER\``;
  const kept = `${finished} and kept in ${printable(out)}; the same command`;
  if (done < total) return `${kept} goes on with the others`;
  if (failed > 0) return `${kept} tries the ${failed} that failed again, and writes the results`;
  return `${kept} runs nothing more, and writes the results`;
}
