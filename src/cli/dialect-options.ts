import { type Command, InvalidArgumentError, Option } from 'commander';
import type { Decimal, Delimiter } from '../cycle/dialect.ts';
import { type CsvDialect, csvDialect } from '../output/csv-dialect.ts';

const HELP_GROUP = 'CSV that is written:';

/**
 * Adds `--delimiter` and `--decimal` to a command that reads no drives, where they are about the
 * CSV that it writes.
 */
export function addDialectOptions(command: Command): Command {
  return add(command, '--delimiter', '--decimal');
}

/**
 * Adds `--out-delimiter` and `--out-decimal` to a command whose `--delimiter` and `--decimal` are
 * about the drives that it reads: a wish about the output must change nothing in how a drive is read.
 */
export function addOutDialectOptions(command: Command): Command {
  return add(command, '--out-delimiter', '--out-decimal');
}

function add(command: Command, between: string, sign: string): Command {
  return command
    .addOption(
      new Option(`${between} <sign>`, "between the cells: ',' ';' or tab (default: ',')")
        .argParser(delimiter)
        .helpGroup(HELP_GROUP),
    )
    .addOption(
      new Option(
        `${sign} <sign>`,
        "decimal sign: '.' or ','; with ',' alone ';' stands between the cells (default: '.')",
      )
        .argParser(decimal)
        .helpGroup(HELP_GROUP),
    );
}

/** What `--out-delimiter` and `--out-decimal` gave. */
export interface OutDialectFlags {
  readonly outDelimiter?: Delimiter;
  readonly outDecimal?: Decimal;
}

/**
 * The dialect that CSV is written in, by what `addOutDialectOptions` added.
 * @throws InputError where a comma would stand both between cells and within numbers
 */
export function outDialect({ outDelimiter, outDecimal }: OutDialectFlags): CsvDialect {
  return csvDialect(
    { delimiter: outDelimiter, decimal: outDecimal },
    { delimiter: '--out-delimiter', decimal: '--out-decimal' },
  );
}

/**
 * Ends a command that was told how to write CSV and writes none.
 * @param command
 * @param flags as one types them, with what they gave
 * @param cure what would make it write some
 * @throws CommanderError
 */
export function refuseIdleDialect(
  command: Command,
  flags: Readonly<Record<string, string | undefined>>,
  cure: string,
): void {
  const given = Object.keys(flags).find((flag) => flags[flag] !== undefined);
  if (given === undefined) return;
  command.error(`error: '${given}' is about CSV, and none is written: ${cure}`);
}

/** The same for a command whose flags are those of `addOutDialectOptions`. */
export function refuseIdleOutDialect(
  command: Command,
  { outDelimiter, outDecimal }: OutDialectFlags,
  cure: string,
): void {
  const flags = { '--out-delimiter': outDelimiter, '--out-decimal': outDecimal };
  refuseIdleDialect(command, flags, cure);
}

/** Reads a delimiter of an option. */
export function delimiter(text: string): Delimiter {
  if (text === ',' || text === ';') return text;
  if (text === 'tab' || text === '\t' || text === '\\t') return '\t';
  throw new InvalidArgumentError("Expected ',' or ';' or tab.");
}

/** Reads a decimal sign of an option. */
export function decimal(text: string): Decimal {
  if (text === '.' || text === ',') return text;
  throw new InvalidArgumentError("Expected '.' or ','.");
}
