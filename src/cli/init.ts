import { join } from 'node:path';
import type { Command } from 'commander';
import { newCommand } from './command.ts';
import { writeOut } from './streams.ts';

/** `init`: the example set, to be changed. */
export function initCommand(): Command {
  return newCommand('init')
    .summary('copy the example files into a folder')
    .description(
      'Copies the shipped examples (cars, stores, strategies, studies, gates, drives, JSON\n' +
        'Schemas and more) into a folder, to be changed. They are an invented scenario. Nothing that is already there is replaced.',
    )
    .argument('[folder]', 'folder, made if it is not there', 'spinledger-files')
    .addHelpText(
      'after',
      `
Example:
  npx spinledger init trial

Exit status: 0 done; 1 a defect of the program; 2 bad usage, or files that are in the way.`,
    )
    .action(init);
}

async function init(folder: string): Promise<void> {
  const { copyExamples } = await import('../config/init.ts');
  const names = copyExamples(folder);
  writeOut(names.map((name) => `${join(folder, name)}\n`).join(''));
}
