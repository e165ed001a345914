import type { Command } from 'commander';
import { newCommand } from './command.ts';
import { fitHelp } from './fit-command.ts';

/** `fit`: the model held against measurements. */
export function fitCommand(): Command {
  return newCommand('fit')
    .summary('fit the model to measurements, and hold it against them')
    .description(
      'From measurements to the numbers of car and store files, with confidence intervals: coastdown ' +
        'runs, spin-down logs, engine points. And a log of a drive against its simulation.',
    )
    .addHelpText('after', fitHelp('coastdown examples/measured/coastdown.csv --mass 1475'));
}

/** Adds the subcommands; called only when `fit` is, since all of them together take a while. */
export async function addFitCommands(fit: Command): Promise<void> {
  const subcommands = await import('./fit-subcommands.ts');
  fit
    .addCommand(subcommands.fitCoastdownCommand())
    .addCommand(subcommands.fitSpindownCommand())
    .addCommand(subcommands.fitEngineCommand())
    .addCommand(subcommands.fitDriveCommand());
}
