import { hostname } from 'node:os';
import { printable } from '../output/problems.ts';
import { Journal } from '../study/journal.ts';
import { loadStudy } from '../study/load-study.ts';
import { manifestOf } from '../study/manifest.ts';
import type { Plan } from '../study/plan.ts';
import { WorkerPool } from '../study/pool.ts';
import { recordsOf } from '../study/records.ts';
import { type Shard, type ShardWish, shardOfSurroundings } from '../study/shard.ts';
import { compileForManyCases } from './compiling.ts';
import { tellCleaning } from './cycle-inputs.ts';
import { Interrupted } from './interrupted.ts';
import { Interruption } from './interruption.ts';
import { writeErr } from './streams.ts';
import type { StudyOptions } from './study.ts';
import { holdOutcome } from './study-end.ts';
import { inFolder } from './study-folder.ts';
import { csvOptions, printStudy } from './study-print.ts';
import { type StudyResults, writeResults } from './study-results.ts';
import { StudyWork } from './study-work.ts';

/**
 * Runs what is not finished of a study, and writes the results of all of it.
 * @param study as `loadStudy` takes it
 * @param options
 * @throws InputError for a study or a folder that cannot be used, Interrupted, CasesFailed and
 *   TraceNotFollowed when all is written but not all is well
 */
export async function runStudy(study: string, options: StudyOptions): Promise<void> {
  compileForManyCases();
  const shard = shardOf(options.shard);
  if (options.dryRun) {
    const plan = await planned(study, options);
    return (await import('./study-dry-run.ts')).printPlan(plan, shard, options);
  }
  const pool = await WorkerPool.start(options.jobs, options.timeLimit);
  try {
    const plan = await planned(study, options);
    csvOptions(options, shapeOf(plan));
    const owner = { kind: 'study', name: plan.name } as const;
    await inFolder(options.out, owner, plan.files, (folder) =>
      runIn(folder, plan, shard, pool, options),
    );
  } finally {
    await pool.end();
  }
}

/** What is to be run, and what there is to say about it. */
async function planned(study: string, { timeLimit }: StudyOptions): Promise<Plan> {
  const plan = await loadStudy(study, timeLimit);
  for (const notice of plan.notices) writeErr(`${printable(notice)}\n`);
  tellCleaning(plan.drives);
  return plan;
}

/** The shard that is meant; where the surroundings say it, the user is told. */
function shardOf(wish: ShardWish | undefined): Shard | undefined {
  if (wish === undefined || wish.from === 'user') return wish?.shard;
  const { shard, source } = shardOfSurroundings(process.env, wish.total);
  writeErr(`Shard ${shard.k}/${shard.n}, by ${source}.\n`);
  return shard;
}

function shapeOf({ varied, outputs: { explain, bound } }: Plan) {
  return { varied, explain, bound };
}

async function runIn(
  folder: string,
  plan: Plan,
  shard: Shard | undefined,
  pool: WorkerPool,
  options: StudyOptions,
): Promise<void> {
  const started = new Date();
  const interruption = new Interruption();
  const journal = await Journal.open(folder);
  const work = new StudyWork(folder, plan, shard, journal, options);
  try {
    await work.run(pool, interruption.signal);
    interruption.throwIfAny(work.soFar);
    const results: StudyResults = {
      records: () => recordsOf(plan, shard, journal),
      shape: shapeOf(plan),
      cycleShares: plan.cycleShares,
      manifest: (counts, hash) => manifestOf(plan, shard, counts, hash),
    };
    const made = {
      started: started.toISOString(),
      finished: new Date().toISOString(),
      host: hostname(),
      node: process.version,
      platform: `${process.platform} ${process.arch}`,
      ...work.made,
    };
    const outcome = await writeResults(folder, results, options.tolerance, made);
    work.tellEnd();
    await printStudy(options, results, outcome, () => interruption.heed(work.soFar));
    holdOutcome(outcome, options);
  } catch (error) {
    if (error instanceof Interrupted) throw new Interrupted(error.signal, work.soFar);
    throw error;
  } finally {
    await journal.close();
    interruption.end();
  }
}
