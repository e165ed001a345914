import { Argument, type Command } from 'commander';
import { cycleHelp, newCycleCommand, takesDrives } from './cycle-command.ts';
import type { DriveFlags } from './drive-options.ts';
import { number } from './number-argument.ts';

interface ScaleOptions extends DriveFlags {
  readonly time?: boolean;
  readonly out: string;
}

/** Factors outside of these are taken for slips of the finger. */
const FACTOR = { min: 0.01, max: 100 } as const;

/** `cycle scale`: a cycle at other speeds, or in another time. */
export function scaleCommand(): Command {
  const command = newCycleCommand('scale')
    .summary('drive a cycle faster or slower')
    .description(
      'Multiplies the speeds of a cycle in the same time: the distance grows with the factor, and so do ' +
        'heights. With --time the same road is driven in a time that is longer by the factor, and slower.',
    )
    .argument('<cycle>', 'built-in cycle, file, log or composition')
    .addArgument(
      new Argument('<factor>', 'of every speed, or with --time of every duration').argParser(
        number(FACTOR.min, FACTOR.max, 'a factor'),
      ),
    )
    .option('--time', 'stretch time instead of speed')
    .option('--out <file>', 'file to write; - is standard output', '-')
    .addHelpText('after', cycleHelp('scale udds 0.9'))
    .action(scale);
  return takesDrives(command);
}

async function scale(text: string, factor: number, options: ScaleOptions): Promise<void> {
  const { loadCycles, writeCycle } = await import('./cycle-inputs.ts');
  const { scaleSpeed, stretchTime } = await import('../cycle/compose.ts');
  const [cycle] = await loadCycles([text], options);
  const { value, drives } = cycle!;
  const trace = options.time === true ? stretchTime(value, factor) : scaleSpeed(value, factor);
  const what = options.time === true ? 'time' : 'speed';
  await writeCycle(options.out, trace, { words: `from ${text}, ${what} times ${factor}`, drives });
}
