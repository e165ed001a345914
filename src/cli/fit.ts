import type { Command } from 'commander';
import { newCommand } from './command.ts';
import { fitHelp } from './fit-command.ts';

/** `fit`: the model held against measurements. */
export function fitCommand(): Command {
  return newCommand('fit')
    .summary('fit road load, rotor drag and engine to measurements')
    .description(
      'From measurements to the numbers of car and store files, with confidence intervals: coastdown ' +
        'runs, spin-down logs, engine points.',
    )
    .addHelpText('after', fitHelp('coastdown examples/measured/coastdown.csv --mass 1475'));
}

/** Adds the subcommands; called only when `fit` is, since all of them together take a while. */
export async function addFitCommands(fit: Command): Promise<void> {
  const subcommands = await import('./fit-subcommands.ts');
  fit
    .addCommand(subcommands.fitCoastdownCommand())
    .addCommand(subcommands.fitSpindownCommand())
    .addCommand(subcommands.fitEngineCommand());
}
