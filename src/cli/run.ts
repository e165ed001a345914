import { type Command, InvalidArgumentError, Option } from 'commander';
import { parseNumber } from '../config/number.ts';
import { newCommand } from './command.ts';
import { EXAMPLE } from './shipped.ts';

const FORMATS = ['table', 'json', 'csv', 'markdown', 'none'] as const;

/** The options as the user gave them; what is left out comes from the shipped example. */
export interface RunOptions {
  readonly car?: string;
  readonly store?: string;
  readonly strategy?: string;
  readonly cycle?: string;
  readonly log?: string;
  readonly logStep?: number;
  readonly format: (typeof FORMATS)[number];
  readonly tolerance: number;
}

/** Seconds that a row of a log may last; the bounds only keep slips of the pen out. */
const LOG_STEP = { min: 0.001, max: 86_400 } as const;

/** `run`: one case. */
export function runCommand(): Command {
  return newCommand('run')
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
    .option('--cycle <name>', `built-in cycle, or a CSV file (default: ${EXAMPLE.cycle})`)
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
    )
    .addHelpText(
      'after',
      `
Example:
  npx spinledger run --cycle udds --format json

The log has one row for each interval of the trace: \`time_s\` is its start, powers and speeds are
means over it, stored energy and rotor speed are those at its end.

Exit status: 0 done; 1 a defect of the program; 2 bad usage or input; 4 done and written, but the
trace was not followed within the tolerance; 130 interrupted.`,
    )
    .action(async (options: RunOptions, command: Command) => {
      checkTogether(options, command);
      // What only a run needs is loaded here, so that `--help` is quick.
      await (await import('./run-case.ts')).runOneCase(options);
    });
}

/** Options that make no sense together. */
function checkTogether(options: RunOptions, command: Command): void {
  if (options.log === '-' && options.format !== 'none') {
    command.error(
      "error: '--log -' writes the log to standard output, where the summary would run into it: add '--format none'",
    );
  }
  if (options.logStep !== undefined && options.log === undefined) {
    command.error("error: '--log-step' is about the rows of a log: add '--log FILE'");
  }
}

/** Reads a number of an option, within bounds. */
function number(min: number, max: number, unit: string): (text: string) => number {
  return (text) => {
    const value = parseNumber(text);
    if (value !== undefined && value >= min && value <= max) return value;
    throw new InvalidArgumentError(`Expected a number from ${min} to ${max} (${unit}).`);
  };
}
