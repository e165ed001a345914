import type { Command } from 'commander';
import { newCommand } from './command.ts';
import { addOutDialectOptions } from './dialect-options.ts';
import { addDriveOptions, checkDriveFlags, type DriveFlags } from './drive-options.ts';

/** A subcommand of `cycle`: usage errors point to its own help. */
export function newCycleCommand(name: string): Command {
  return newCommand(name).showHelpAfterError(`spinledger cycle ${name} --help says more.`);
}

/** Adds the options of logged drives, which are checked before the command does anything. */
export function takesDrives(command: Command): Command {
  return addDriveOptions(command).hook('preAction', () => {
    checkDriveFlags(command.opts<DriveFlags>(), command);
  });
}

/** The same for a command that writes a table, too. */
export function takesDrivesForTable(command: Command): Command {
  return addOutDialectOptions(takesDrives(command));
}

/** What the help of every subcommand ends with. */
export function cycleHelp(example: string, more = ''): string {
  const details = more === '' ? '' : `\n${more}\n`;
  return `
Example:
  npx spinledger cycle ${example}
${details}
Exit status: 0 done; 1 a defect of the program; 2 bad usage or input; 130 interrupted.`;
}
