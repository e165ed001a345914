import type { Command } from 'commander';
import { cycleHelp, newCycleCommand, takesDrives } from './cycle-command.ts';
import type { DriveFlags } from './drive-options.ts';

interface JoinOptions extends DriveFlags {
  readonly out: string;
}

/** `cycle join`: one cycle after another. */
export function joinCommand(): Command {
  const command = newCycleCommand('join')
    .summary('drive one cycle after another')
    .description(
      'Makes one cycle of several, in their order. Where one ends and the next begins the speeds have to ' +
        'agree within 0.1 km/h; the clock goes on, and heights add up.',
    )
    .argument('<first>', 'built-in cycle, file, log or composition')
    .argument('<others...>', 'what follows it')
    .option('--out <file>', 'file to write; - is standard output', '-')
    .addHelpText('after', cycleHelp('join udds hwfet'))
    .action(joinCycles);
  return takesDrives(command);
}

async function joinCycles(
  first: string,
  others: readonly string[],
  options: JoinOptions,
): Promise<void> {
  const { loadCycles, named, writeCycle } = await import('./cycle-inputs.ts');
  const { join } = await import('../cycle/compose.ts');
  const cycles = await loadCycles([first, ...others], options);
  const traces = cycles.map((cycle) => cycle.value);
  const text = [first, ...others].join(' + ');
  const trace = named(text, () => join(traces, text));
  const drives = cycles.flatMap((cycle) => cycle.drives);
  await writeCycle(options.out, trace, { words: `from ${text}`, drives });
}
