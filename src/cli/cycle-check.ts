import { type Command, Option } from 'commander';
import { InputError, throwIfAny } from '../config/problem.ts';
import { outputPaint } from './colour.ts';
import { newCycleCommand, takesDrivesForTable } from './cycle-command.ts';
import { type OutDialectFlags, outDialect, refuseIdleOutDialect } from './dialect-options.ts';
import { type DriveFlags, driveOptions } from './drive-options.ts';
import { writeOut } from './streams.ts';
import { writeWhole } from './whole-file.ts';

const FORMATS = ['table', 'json', 'none'] as const;

interface CheckOptions extends DriveFlags, OutDialectFlags {
  readonly changes?: string;
  readonly format: (typeof FORMATS)[number];
}

/** `cycle check`: what is wrong with a file. */
export function checkCommand(): Command {
  const command = newCycleCommand('check')
    .summary('say what is wrong with a logged drive, and what cleaning makes of it')
    .description(
      'Reads a file as a logged drive, cleans it, and reports all that was found: how it was read, the ' +
        'faults by kind, what changed in distance, acceleration and energy, and its parts.',
    )
    .argument('<file>', 'table in text form, or GPX')
    .option('--changes <file>', 'write a CSV of the changes, one row each; - is standard output')
    .addOption(
      new Option('--format <kind>', 'how the report is printed').choices(FORMATS).default('table'),
    )
    .addHelpText(
      'after',
      `
Example:
  npx spinledger cycle check examples/logs/commute.csv --delimiter ";" --decimal ,

Exit status: 0 the drive can be used, cleaned if need be; 1 a defect of the program; 2 it cannot be
used, or bad usage; 130 interrupted.`,
    )
    .action(check);
  return takesDrivesForTable(command);
}

async function check(file: string, options: CheckOptions, command: Command): Promise<void> {
  checkTogether(options, command);
  const dialect = outDialect(options);
  const { changes } = options;
  const { findBuiltInCycle } = await import('../cycle/library.ts');
  if (findBuiltInCycle(file) !== undefined) throw builtIn(file);
  const { readLog } = await import('./cycle-log.ts');
  const { refuseToReplace } = await import('./cycle-inputs.ts');
  if (changes !== undefined && changes !== '-') refuseToReplace([file], changes);
  const listed = changes === undefined ? 0 : Number.POSITIVE_INFINITY;
  const { parts, ...log } = await readLog(file, driveOptions(options), listed);
  if (changes !== undefined && log.cleaning !== undefined) {
    const made = log.cleaning.changes;
    const { writeChanges } = await import('../output/cycle-changes.ts');
    if (changes === '-') writeChanges(made, writeOut, dialect);
    else await writeWhole(changes, (write) => writeChanges(made, write, dialect));
  }
  const { cycleCheck } = await import('../output/cycle-check.ts');
  const found = cycleCheck({ ...log, parts: parts.map(({ trace }) => trace) });
  if (options.format === 'table') {
    const { cycleCheckTable } = await import('../output/cycle-check-table.ts');
    writeOut(cycleCheckTable(found, await outputPaint()));
  } else if (options.format === 'json') {
    writeOut((await import('../output/json.ts')).jsonText(found));
  }
  throwIfAny(log.problems);
}

function checkTogether(options: CheckOptions, command: Command): void {
  const { changes, clean, format } = options;
  if (changes === undefined) refuseIdleOutDialect(command, options, "add '--changes FILE'");
  if (changes === '-' && format !== 'none') {
    command.error(
      "error: '--changes -' writes the changes to standard output, where the report would run into them: add '--format none'",
    );
  }
  if (changes !== undefined && clean === false) {
    command.error(
      "error: '--changes' lists what cleaning changed, and '--no-clean' leaves it out: drop one of the two",
    );
  }
}

function builtIn(name: string): InputError {
  return new InputError([
    {
      code: 'built-in',
      file: name,
      found: 'a built-in cycle',
      expected: 'a file',
      hint: `\`spinledger cycle show ${name}\` shows what it is like; a file of that name is \`./${name}\``,
    },
  ]);
}
