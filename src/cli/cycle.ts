import type { Command } from 'commander';
import { newCommand } from './command.ts';
import { cycleHelp } from './cycle-command.ts';

/** `cycle`: everything about drive cycles and logged drives that needs no simulation. */
export function cycleCommand(): Command {
  return newCommand('cycle')
    .summary('list, show, check, convert and compose drive cycles')
    .description(
      'Drive cycles and logged drives: what is built in, what a cycle asks of a car, what is wrong with ' +
        'a log, and how to make one cycle of another.',
    )
    .addHelpText('after', cycleHelp('list'));
}

/** Adds the subcommands; called only when `cycle` is, since all of them together take a while. */
export async function addCycleCommands(cycle: Command): Promise<void> {
  const subcommands = await import('./cycle-subcommands.ts');
  cycle
    .addCommand(subcommands.listCommand())
    .addCommand(subcommands.showCommand())
    .addCommand(subcommands.checkCommand())
    .addCommand(subcommands.convertCommand())
    .addCommand(subcommands.joinCommand())
    .addCommand(subcommands.repeatCommand())
    .addCommand(subcommands.cutCommand())
    .addCommand(subcommands.scaleCommand())
    .addCommand(subcommands.splitCommand());
}
