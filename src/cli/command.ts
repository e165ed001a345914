import { Command } from 'commander';
import { writeErr, writeOut } from './streams.ts';

/** Columns of help texts: the same on a terminal, in a pipe and in a manual. */
const HELP_WIDTH = 90;

/**
 * A command whose usage errors and help come as errors of their own, so that only `main` sets the
 * exit status, and whose output goes through our streams, without colour.
 */
export function newCommand(name: string): Command {
  return new Command(name)
    .exitOverride()
    .helpOption('-h, --help', 'print this help')
    .helpCommand(false)
    .showHelpAfterError(name === 'spinledger' ? HELP : HELP.replace(' ', ` ${name} `))
    .configureOutput({
      writeOut,
      writeErr,
      getOutHelpWidth: () => HELP_WIDTH,
      getErrHelpWidth: () => HELP_WIDTH,
      getOutHasColors: () => false,
      getErrHasColors: () => false,
    });
}

const HELP = 'spinledger --help says more.';
