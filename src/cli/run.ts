import { type Command, Option } from 'commander';
import { EXAMPLE } from '../config/shipped.ts';
import { SEARCH_WORDS } from './bound.ts';
import { newCommand } from './command.ts';
import {
  addOutDialectOptions,
  type OutDialectFlags,
  refuseIdleOutDialect,
} from './dialect-options.ts';
import { addDriveOptions, checkDriveFlags, type DriveFlags } from './drive-options.ts';
import { inThread, type Progress } from './in-thread.ts';
import { number } from './number-argument.ts';

const FORMATS = ['table', 'json', 'csv', 'markdown', 'none'] as const;

/** The options as the user gave them; what is left out comes from the shipped example. */
export interface RunOptions extends DriveFlags, OutDialectFlags {
  readonly car?: string;
  readonly store?: string;
  readonly strategy?: string;
  readonly cycle?: string;
  readonly log?: string;
  readonly logStep?: number;
  readonly explain?: boolean;
  readonly bound?: boolean;
  readonly format: (typeof FORMATS)[number];
  readonly tolerance: number;
}

/** Seconds that a row of a log may last; the bounds only keep slips of the pen out. */
const LOG_STEP = { min: 0.001, max: 86_400 } as const;

/** `run`: one case. */
export function runCommand(): Command {
  const command = newCommand('run')
    .summary('run one car, store, strategy and cycle')
    .description(
      'Runs one car with one store and strategy on one cycle, and the same car without the store.\n' +
        'Prints the charge-balanced saving, where every joule went, and which limit kept recovery out.\n' +
        'What is not given is taken from the shipped example, an invented scenario.',
    )
    .option('--car <file>', `car file, or a shipped example (default: ${EXAMPLE.car})`)
    .option('--store <file>', `store file, or a shipped example (default: ${EXAMPLE.store})`)
    .option(
      '--strategy <file>',
      `strategy file, or a shipped example (default: ${EXAMPLE.strategy})`,
    )
    .option('--cycle <name>', `built-in cycle, file or log (default: ${EXAMPLE.cycle})`)
    .option('--explain', 'show the saving in steps, from runs with one part more each')
    .option('--bound', 'show the distance to the least fuel possible, and where it is lost')
    .option('--log <file>', 'write a CSV log of the balanced lap; - is standard output')
    .addOption(
      new Option(
        '--log-step <seconds>',
        'one row each so many seconds, not one an interval',
      ).argParser(number(LOG_STEP.min, LOG_STEP.max, 'seconds')),
    )
    .addOption(
      new Option('--format <kind>', 'how the summary is printed').choices(FORMATS).default('table'),
    )
    .addOption(
      new Option(
        '--tolerance <pct>',
        'shortfall, in % of the tractive energy, that status 4 begins above',
      )
        .argParser(number(0, 100, '%'))
        .default(0.5),
    );
  return addOutDialectOptions(addDriveOptions(command))
    .addHelpText(
      'after',
      `
Example:
  npx spinledger run --cycle "2*udds + nycc" --format json

A cycle is a name, a file, or several joined by \` + \`, each with \`N*\` before and \`[from..to]\` or
\`@factor\` behind it. A CSV file with no more than \`time_s\`, \`speed_kmh\` (or another unit) and
\`altitude_m\` or \`grade_pct\` is driven as it stands; any other table, and GPX, is a log and cleaned.

The log has one row for each interval of the trace: \`time_s\` is its start, powers and speeds are
means over it, stored energy and rotor speed are those at its end.

\`--delimiter\` and \`--decimal\` say how a drive is to be read, and change nothing in what is written:
the log and \`--format csv\` have commas and decimal points unless \`--out-delimiter\` and
\`--out-decimal\` ask for others, as in \`--format csv --out-decimal ,\` for a spreadsheet with decimal
commas. Names stand there as they are.

Exit status: 0 done; 1 a defect of the program; 2 bad usage or input; 4 done and written, but the
trace was not followed within the tolerance; 130, 143 interrupted.`,
    )
    .action(async (options: RunOptions, command: Command) => {
      checkTogether(options, command);
      // What only a run needs is loaded here, so that `--help` is quick.
      const run = async (told?: Progress) =>
        (await import('./run-case.ts')).runOneCase(options, told);
      await (options.bound ? inThread(run, SEARCH_WORDS) : run());
    });
}

/** Options that make no sense together. */
function checkTogether(options: RunOptions, command: Command): void {
  checkDriveFlags(options, command);
  if (options.log === '-' && options.format !== 'none') {
    command.error(
      "error: '--log -' writes the log to standard output, where the summary would run into it: add '--format none'",
    );
  }
  if (options.explain && options.format === 'none') {
    command.error(
      "error: '--explain' adds to the summary, which '--format none' leaves out: choose another format",
    );
  }
  if (options.bound && options.format === 'none') {
    command.error(
      "error: '--bound' adds to the summary, which '--format none' leaves out: choose another format",
    );
  }
  if (options.format !== 'csv' && options.log === undefined) {
    refuseIdleOutDialect(command, options, "add '--format csv' or '--log FILE'");
  }
  if (options.logStep !== undefined && options.log === undefined) {
    command.error("error: '--log-step' is about the rows of a log: add '--log FILE'");
  }
}
