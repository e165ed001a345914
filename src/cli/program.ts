import type { Command } from 'commander';
import { version } from '../summary/tool.ts';
import { boundCommand } from './bound.ts';
import { newCommand } from './command.ts';
import { compareCommand } from './compare.ts';
import { addCycleCommands, cycleCommand } from './cycle.ts';
import { addFitCommands, fitCommand } from './fit.ts';
import { initCommand } from './init.ts';
import { rotorCommand } from './rotor.ts';
import { runCommand } from './run.ts';
import { schemaCommand } from './schema.ts';
import { sprintCommand } from './sprint.ts';
import { studyCommand } from './study.ts';
import { tuneCommand } from './tune.ts';

/** The command line: every command of the program. */
export function program(): Command {
  const cycle = cycleCommand();
  const fit = fitCommand();
  return newCommand('spinledger')
    .description(
      'Predicts and explains the fuel saving of a mechanical energy store in a car: a flywheel\n' +
        'with its transmission on one axle. Every joule is in the ledger.',
    )
    .version(version(), '-V, --version', 'print the version')
    .addHelpText('after', '\nTo begin with: npx spinledger run')
    .addCommand(runCommand())
    .addCommand(cycle)
    .addCommand(sprintCommand())
    .addCommand(rotorCommand())
    .addCommand(studyCommand())
    .addCommand(compareCommand())
    .addCommand(tuneCommand())
    .addCommand(fit)
    .addCommand(boundCommand())
    .addCommand(schemaCommand())
    .addCommand(initCommand())
    .hook('preSubcommand', async (_program, command) => {
      if (command === cycle) await addCycleCommands(cycle);
      if (command === fit) await addFitCommands(fit);
    });
}
