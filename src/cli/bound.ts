import { type Command, Option } from 'commander';
import { EXAMPLE } from '../config/shipped.ts';
import { newCommand } from './command.ts';
import {
  addOutDialectOptions,
  type OutDialectFlags,
  refuseIdleOutDialect,
} from './dialect-options.ts';
import { addDriveOptions, checkDriveFlags, type DriveFlags } from './drive-options.ts';
import { inThread } from './in-thread.ts';
import { durationText } from './study-progress.ts';

const FORMATS = ['table', 'json', 'csv', 'markdown', 'none'] as const;

/** The options as the user gave them. */
export interface BoundOptions extends DriveFlags, OutDialectFlags {
  readonly car?: string;
  readonly store?: string;
  readonly strategy?: string;
  readonly cycle?: string;
  readonly format: (typeof FORMATS)[number];
}

/** `bound`: the least fuel of a case. */
export function boundCommand(): Command {
  const command = newCommand('bound')
    .summary('find the least fuel that a store makes possible on a cycle')
    .description(
      'Finds the least fuel of a car with a store on a cycle, by a search that knows the whole cycle as no\n' +
        'strategy in a car can. With a strategy, shows its distance and where along the cycle it is lost.\n' +
        'What is not given is taken from the shipped example, an invented scenario.',
    )
    .option('--car <file>', `car file, or a shipped example (default: ${EXAMPLE.car})`)
    .option('--store <file>', `store file, or a shipped example (default: ${EXAMPLE.store})`)
    .option('--strategy <file>', 'strategy to hold against the bound (default: none)')
    .option('--cycle <name>', `built-in cycle, file or log (default: ${EXAMPLE.cycle})`)
    .addOption(
      new Option('--format <kind>', 'how the bound is printed').choices(FORMATS).default('table'),
    );
  return addOutDialectOptions(addDriveOptions(command))
    .addHelpText(
      'after',
      `
Example:
  npx spinledger bound --strategy coast --cycle nycc

The store ends as full as it began, at whatever filling is best. What the battery is owed at the end
is charged as fuel, as in \`run\`. The lap is searched on finer and finer grids until its fuel moves by
less than 0.05 %, and driven by the same simulator as any strategy.

\`--format json\` and \`--format csv\` hold the keys of \`run\` and beside them \`fuel.bound_L_per_100km\`
and \`bound\`. Without a strategy the figures "with the store" are those of the bound itself.

Exit status: 0 done; 1 a defect of the program; 2 bad usage or input; 130, 143 interrupted.`,
    )
    .action(async (options: BoundOptions, command: Command) => {
      checkDriveFlags(options, command);
      if (options.format !== 'csv') {
        refuseIdleOutDialect(command, options, "add '--format csv'");
      }
      await inThread(
        async (told) => (await import('./bound-case.ts')).boundOneCase(options, told),
        SEARCH_WORDS,
      );
    });
}

/** What is told while a bound is searched. */
export const SEARCH_WORDS = {
  progress: progressWords,
  interrupted: 'no bound was found yet, and nothing is kept',
};

/**
 * How far the search of a bound is, in one line.
 * @param share of the work that is done, 0 to 1
 * @param elapsed since it began [ms]
 */
export function progressWords(share: number, elapsed: number): string {
  const done = `bound: ${Math.floor(100 * share)} % searched`;
  // How many passes it takes is not known beforehand, so the first third tells little.
  if (share < 1 / 3) return done;
  return `${done}, ${durationText(((1 - share) / share) * (elapsed / 1e3))} left at most`;
}
