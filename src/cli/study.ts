import { availableParallelism } from 'node:os';
import { type Command, InvalidArgumentError, Option } from 'commander';
import type { Decimal, Delimiter } from '../cycle/dialect.ts';
import { parseShard, type ShardWish } from '../study/shard.ts';
import { newCommand } from './command.ts';
import { addDialectOptions, refuseIdleDialect } from './dialect-options.ts';
import { jobs } from './jobs-argument.ts';
import { number } from './number-argument.ts';

const FORMATS = ['table', 'csv', 'json', 'markdown', 'none'] as const;

/** How the results are printed. */
export interface StudyPrint {
  readonly format: (typeof FORMATS)[number];
  readonly columns?: string;
  readonly delimiter?: Delimiter;
  readonly decimal?: Decimal;
  /** [%] */
  readonly tolerance: number;
}

/** The options as the user gave them. */
export interface StudyOptions extends StudyPrint {
  readonly out?: string;
  readonly jobs: number;
  readonly shard?: ShardWish;
  readonly dryRun?: boolean;
  readonly failFast?: boolean;
  /** [s] */
  readonly timeLimit: number;
  readonly merge?: readonly string[];
}

/** Seconds that a case may take; the bounds only keep slips of the pen out. */
export const TIME_LIMIT = { min: 0.1, max: 1e6, usual: 600 } as const;

/** `study`: many cases. */
export function studyCommand(): Command {
  const command = newCommand('study')
    .summary('run the cases of a study: cars, stores, strategies, cycles, varied numbers')
    .description(
      'Runs every case that a study plans, on all cores, and ranks what comes out.\n' +
        'With --out each finished case is kept at once: after a crash, a kill or an interruption,\n' +
        'the same command goes on where it stopped, and ends with the same bytes.',
    )
    .usage('[options] <study>\n       spinledger study --merge <folders...> --out <folder>')
    .argument('[study]', 'study file, or a shipped example')
    .option('--out <folder>', 'keep the results in this folder: new, empty, or one of a study')
    .addOption(
      new Option('--jobs <count>', 'cases at a time')
        .argParser(jobs)
        .default(availableParallelism(), 'one a core'),
    )
    .addOption(
      new Option(
        '--shard <k/n>',
        'run the k-th of n shares of the cases; auto, or auto/n, asks the job array',
      ).argParser(shard),
    )
    .option('--merge <folders...>', 'put the results of all shards together')
    .option('--dry-run', 'print the plan (a table or json), run nothing, write nothing')
    .option('--fail-fast', 'stop at the first case that fails')
    .addOption(
      new Option(
        '--time-limit <seconds>',
        'longest that one case, or a plug-in that is loaded, may take; where more cases run at once than there are cores, a case has as many times longer',
      )
        .argParser(number(TIME_LIMIT.min, TIME_LIMIT.max, 'seconds'))
        .default(TIME_LIMIT.usual),
    )
    .addOption(
      new Option('--format <kind>', 'how the results are printed')
        .choices(FORMATS)
        .default('table'),
    )
    .option('--columns <list>', 'columns of the CSV, as in case_*,saving_vs_baseline_pct')
    .addOption(
      new Option(
        '--tolerance <pct>',
        'shortfall, in % of the tractive energy, that status 4 begins above',
      )
        .argParser(number(0, 100, '%'))
        .default(0.5),
    );
  return addDialectOptions(command)
    .addHelpText('after', HELP)
    .action(async (study: string | undefined, options: StudyOptions, self: Command) => {
      checkTogether(study, options, self);
      if (options.merge !== undefined) {
        return (await import('./study-merge.ts')).mergeShards(options.merge, options);
      }
      if (study !== undefined) await (await import('./study-run.ts')).runStudy(study, options);
    });
}

const HELP = `
Example:
  npx spinledger study strategies --format markdown

--shard auto takes k and n from SLURM_ARRAY_TASK_ID, _MIN and _COUNT, or from CI_NODE_INDEX and
CI_NODE_TOTAL. Where only the index is told, say the total: --shard auto/8 with
JOB_COMPLETION_INDEX (Kubernetes) or PARALLEL_SEQ (GNU parallel). Each shard has a folder of its own.

The folder gets results.csv and results.jsonl (a case a row, in the order of the plan), manifest.json
(what they are results of), made.json (when and where), owner.json (whose folder it is), logs/ if the
study asks for them, and journal.jsonl, which a rerun goes on from, and tries failed cases again.

Exit status: 0 done; 1 a defect of the program, in a case or in all; 2 bad usage or input, or a case
that failed by its input, the others done; 4 all done, but some trace was not followed within the
tolerance; 130, 143 interrupted, with finished cases kept.`;

function shard(text: string): ShardWish {
  const wish = parseShard(text);
  if (wish !== undefined) return wish;
  throw new InvalidArgumentError('Expected k/n with k from 1 to n, as in 3/8; or auto, or auto/8.');
}

/** Options that make no sense together, or not alone. */
function checkTogether(study: string | undefined, options: StudyOptions, command: Command): void {
  const { merge, out, format, columns, delimiter, decimal } = options;
  if (merge === undefined && study === undefined) {
    command.error("error: no study is named: 'spinledger study STUDY.json', or a shipped example");
  }
  if (merge !== undefined) {
    if (study !== undefined) {
      command.error("error: '--merge' takes folders of shards, and no study beside them");
    }
    if (out === undefined) {
      command.error("error: '--merge' needs '--out FOLDER' for the results of the whole study");
    }
    const idle = (['shard', 'dryRun', 'failFast'] as const).find(
      (name) => options[name] !== undefined,
    );
    if (idle !== undefined) {
      const flag = idle.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
      command.error(`error: '--${flag}' is about running cases, and '--merge' runs none`);
    }
  }
  if (options.dryRun && format !== 'table' && format !== 'json') {
    command.error("error: '--dry-run' prints a plan for people, or with '--format json' as data");
  }
  if (format === 'csv') return;
  const flags = { '--columns': columns, '--delimiter': delimiter, '--decimal': decimal };
  refuseIdleDialect(command, flags, "add '--format csv'; results.csv is always the same");
}
