import { Argument, type Command } from 'commander';
import { newCommand } from './command.ts';
import { writeOut } from './streams.ts';

const FILES = ['car', 'store', 'strategy', 'study', 'gates'] as const;

/** `schema`: what a file may say, for editors. */
export function schemaCommand(): Command {
  return newCommand('schema')
    .summary('print the JSON Schema of a file')
    .description(
      'Prints the JSON Schema (draft 2020-12) of a car, store, strategy, study or gates\n' +
        'file. An editor that is given it completes keys, explains them and marks what is wrong.',
    )
    .addArgument(new Argument('<file>', 'which file').choices(FILES))
    .addHelpText(
      'after',
      `
Example:
  npx spinledger schema store

Exit status: 0 done; 1 a defect of the program; 2 bad usage, or no room to write.`,
    )
    .action(schema);
}

async function schema(file: (typeof FILES)[number]): Promise<void> {
  const { jsonSchemas, schemaText } = await import('../config/json-schema.ts');
  writeOut(schemaText(jsonSchemas()[file]));
}
