import { type Command, InvalidArgumentError, Option } from 'commander';
import type { Decimal, Delimiter } from '../cycle/dialect.ts';
import { newCommand } from './command.ts';
import { addDialectOptions, refuseIdleDialect } from './dialect-options.ts';

const FORMATS = ['table', 'json', 'csv', 'markdown', 'none'] as const;

/** The options as the user gave them. */
export interface CompareOptions {
  readonly gate?: string;
  readonly format: (typeof FORMATS)[number];
  readonly junit?: string;
  readonly delimiter?: Delimiter;
  readonly decimal?: Decimal;
}

/** `compare`: two results, and gates that are held against them. */
export function compareCommand(): Command {
  const command = newCommand('compare')
    .summary('compare two results and hold gates against them')
    .description(
      'Compares two results, case by case: what got better and worse, and what moved in the\n' +
        'ledger. A result is the JSON of `run --format json`, or the folder of `study --out`. Cases\n' +
        'are matched by their names and varied numbers. With gates, the exit status is a verdict.',
    )
    .argument('<before>', 'file or folder; - is standard input')
    .argument('<after>', 'file or folder; - is standard input')
    .addOption(
      new Option(
        '--gate <file>',
        'gates file, or a shipped example: no-worse, estate-release',
      ).argParser(once),
    )
    .addOption(
      new Option('--format <kind>', 'how the comparison is printed')
        .choices(FORMATS)
        .default('table'),
    )
    .option('--junit <file>', 'write the gates as JUnit XML; - is standard output');
  return addDialectOptions(command)
    .addHelpText(
      'after',
      `
Example:
  npx spinledger run --strategy recover --format json > before.json
  npx spinledger run --strategy coast --format json > after.json
  npx spinledger compare before.json after.json --gate no-worse

A gate with nothing to look at does not hold: no case, a case that failed or has no counterpart, a
figure without a value. Means over cycles have the shares of the gates file, else those of the study.

Exit status: 0 done, and all gates hold; 1 a defect of the program; 2 bad usage or input; 3 done and
written, but a gate does not hold; 130 interrupted.`,
    )
    .action(async (before: string, after: string, options: CompareOptions, command: Command) => {
      checkTogether(before, after, options, command);
      await (await import('./compare-results.ts')).compareResults(before, after, options);
    });
}

/** The last of two would win, and the gates of the first would hold unseen. */
function once(text: string, before: string | undefined): string {
  if (before === undefined) return text;
  throw new InvalidArgumentError('One gates file can be given; put all gates into it.');
}

/** Options that make no sense together. */
function checkTogether(
  before: string,
  after: string,
  { gate, junit, format, delimiter, decimal }: CompareOptions,
  command: Command,
): void {
  if (before === '-' && after === '-') {
    command.error('error: standard input can be one of the two results, not both');
  }
  if (junit !== undefined && gate === undefined) {
    command.error("error: '--junit' is about gates: add '--gate FILE'");
  }
  if (junit === '-' && format !== 'none') {
    command.error(
      "error: '--junit -' writes to standard output, where the comparison would run into it: add '--format none'",
    );
  }
  if (format !== 'csv') {
    refuseIdleDialect(
      command,
      { '--delimiter': delimiter, '--decimal': decimal },
      "add '--format csv'",
    );
  }
}
