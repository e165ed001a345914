import { Argument, type Command, InvalidArgumentError } from 'commander';
import { parseNumber } from '../config/number.ts';
import { cycleHelp, newCycleCommand, takesDrives } from './cycle-command.ts';
import type { DriveFlags } from './drive-options.ts';

interface RepeatOptions extends DriveFlags {
  readonly out: string;
}

/** More repetitions than this are taken for a slip of the finger. */
const MOST_TIMES = 1000;

/** `cycle repeat`: a cycle several times in a row. */
export function repeatCommand(): Command {
  const command = newCycleCommand('repeat')
    .summary('drive a cycle several times in a row')
    .description(
      'Makes one cycle of a cycle driven several times. It has to end as fast as it begins.',
    )
    .argument('<cycle>', 'built-in cycle, file, log or composition')
    .addArgument(new Argument('<times>', 'how often it is driven').argParser(times))
    .option('--out <file>', 'file to write; - is standard output', '-')
    .addHelpText('after', cycleHelp('repeat nycc 3'))
    .action(repeatCycle);
  return takesDrives(command);
}

async function repeatCycle(text: string, count: number, options: RepeatOptions): Promise<void> {
  const { loadCycles, named, writeCycle } = await import('./cycle-inputs.ts');
  const { repeat } = await import('../cycle/compose.ts');
  const [cycle] = await loadCycles([text], options);
  const { value, drives } = cycle!;
  const trace = named(text, () => repeat(value, count, text));
  await writeCycle(options.out, trace, { words: `from ${text}, ${count} times`, drives });
}

function times(text: string): number {
  const value = parseNumber(text);
  if (value !== undefined && Number.isInteger(value) && value >= 1 && value <= MOST_TIMES) {
    return value;
  }
  throw new InvalidArgumentError(`Expected a whole number from 1 to ${MOST_TIMES}.`);
}
