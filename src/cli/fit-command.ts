import { type Command, Option } from 'commander';
import type { Decimal, Delimiter } from '../cycle/dialect.ts';
import { columnsReader } from './columns-option.ts';
import { newCommand } from './command.ts';
import {
  addOutDialectOptions,
  decimal,
  delimiter,
  type OutDialectFlags,
  refuseIdleDialect,
} from './dialect-options.ts';

const FORMATS = ['table', 'json', 'csv', 'markdown', 'none'] as const;

/** How results of a fit are printed. */
export type FitFormat = (typeof FORMATS)[number];

/** How a measured table is written, and how the results are printed, as the user said it. */
export interface FitFlags extends OutDialectFlags {
  readonly delimiter?: Delimiter;
  readonly decimal?: Decimal;
  readonly columns?: Readonly<Record<string, string>>;
  readonly format: FitFormat;
}

/** A subcommand of `fit`: usage errors point to its own help. */
export function newFitCommand(name: string): Command {
  return newCommand(name).showHelpAfterError(`spinledger fit ${name} --help says more.`);
}

/**
 * Adds the options of measured tables and of the output.
 * @param command
 * @param quantities that a column may hold
 */
export function addFitOptions(command: Command, quantities: readonly string[]): Command {
  command.addOption(
    new Option('--format <kind>', 'how the result is printed; csv is the residuals')
      .choices(FORMATS)
      .default('table'),
  );
  const options = [
    new Option('--delimiter <sign>', "between the cells: ',' ';' or tab").argParser(delimiter),
    new Option('--decimal <sign>', "decimal sign: '.' or ','").argParser(decimal),
    new Option(
      '--columns <list>',
      `headers to read, as in ${quantities[0]}=NAME; behind a colon the unit, if the file names none`,
    ).argParser(columnsReader(quantities)),
  ];
  for (const option of options) command.addOption(option.helpGroup('Measured tables:'));
  return addOutDialectOptions(command);
}

/** Ends a command whose options make no sense together. */
export function checkFitFlags(flags: FitFlags, command: Command): void {
  if (flags.format === 'csv') return;
  refuseIdleDialect(
    command,
    { '--out-delimiter': flags.outDelimiter, '--out-decimal': flags.outDecimal },
    "add '--format csv'",
  );
}

/** What the help of every subcommand ends with. */
export function fitHelp(example: string, more = '', status = ''): string {
  const details = more === '' ? '' : `\n${more}\n`;
  return `
Example:
  npx spinledger fit ${example}
${details}
Exit status: 0 done; 1 a defect of the program; 2 bad usage or input;${status} 130 interrupted.`;
}
