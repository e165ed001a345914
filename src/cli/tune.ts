import { availableParallelism } from 'node:os';
import { type Command, Option } from 'commander';
import type { Decimal, Delimiter } from '../cycle/dialect.ts';
import { newCommand } from './command.ts';
import { addDialectOptions, refuseIdleDialect } from './dialect-options.ts';
import { jobs } from './jobs-argument.ts';
import { number } from './number-argument.ts';
import { TIME_LIMIT } from './study.ts';

const FORMATS = ['table', 'json', 'csv', 'markdown', 'none'] as const;

/** The options as the user gave them. */
export interface TuneOptions {
  readonly out?: string;
  readonly write?: string;
  readonly jobs: number;
  /** [s] */
  readonly timeLimit: number;
  readonly format: (typeof FORMATS)[number];
  readonly delimiter?: Delimiter;
  readonly decimal?: Decimal;
}

/** `tune`: the best numbers of a car, store or strategy for some cycles. */
export function tuneCommand(): Command {
  const command = newCommand('tune')
    .summary('find the best numbers of a strategy, store or car for some cycles')
    .description(
      'Searches within bounds for the numbers that save the most over several cycles and hold\n' +
        'all constraints, and shows what they are worth on cycles that were held back. The same\n' +
        'file gives the same numbers on any number of cores. With --out every case is kept at\n' +
        'once: after a crash, a kill or an interruption the same command goes on where it was,\n' +
        'and ends with the same bytes.',
    )
    .argument('<tune>', 'tune file, or a shipped example')
    .option(
      '--out <folder>',
      'keep results and tuned files in this folder: new, empty, or one of a tune',
    )
    .option('--write <file>', 'write the tuned file here; where the numbers stand in one file')
    .addOption(
      new Option('--jobs <count>', 'cases at a time')
        .argParser(jobs)
        .default(availableParallelism(), 'one a core'),
    )
    .addOption(
      new Option(
        '--time-limit <seconds>',
        'longest that one case, or a plug-in that is loaded, may take; where more cases run at once than there are cores, a case has as many times longer',
      )
        .argParser(number(TIME_LIMIT.min, TIME_LIMIT.max, 'seconds'))
        .default(TIME_LIMIT.usual),
    )
    .addOption(
      new Option('--format <kind>', 'how the result is printed').choices(FORMATS).default('table'),
    );
  return addDialectOptions(command)
    .addHelpText('after', HELP)
    .action(async (tune: string, options: TuneOptions, self: Command) => {
      const { format, delimiter, decimal } = options;
      if (format !== 'csv') {
        const flags = { '--delimiter': delimiter, '--decimal': decimal };
        refuseIdleDialect(self, flags, "add '--format csv'; evaluations.csv is always the same");
      }
      await (await import('./tune-run.ts')).tune(tune, options);
    });
}

const HELP = `
Example:
  npx spinledger tune reserve --write tuned.json
  npx spinledger run --store rim-60 --strategy tuned.json --cycle udds

The folder gets tuned-strategy.json (or -store, -car), which \`run\` takes; report.json, the
result as data; evaluations.csv, every set of numbers that was tried; made.json (when and
where); owner.json (whose folder it is); and journal.jsonl, which a rerun goes on from, with another
budget or seed as well.

\`--format csv\` has a row a cycle before and after (column numbers), tuned and held_back (column
cycles), with the numbers, the figures, and whether the constraints hold.

Exit status: 0 done; 1 a defect of the program; 2 bad usage or input; 3 done, but no numbers
were found that hold all constraints, so that there is no tuned file; 130, 143 interrupted,
with finished cases kept.`;
