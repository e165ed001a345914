import { Argument, type Command, InvalidArgumentError } from 'commander';
import { parseNumber } from '../config/number.ts';
import { InputError, throwIfAny } from '../config/problem.ts';
import type { Trace } from '../cycle/trace.ts';
import { cycleHelp, newCycleCommand, takesDrives } from './cycle-command.ts';
import { type DriveFlags, driveOptions, unusedFlags } from './drive-options.ts';

interface CutOptions extends DriveFlags {
  readonly out: string;
}

/** `cycle cut`: a stretch of a cycle. */
export function cutCommand(): Command {
  const command = newCycleCommand('cut')
    .summary('take a stretch out of a cycle')
    .description(
      'Takes the stretch between two instants out of a cycle, in seconds of its own clock, which the ' +
        'stretch keeps. Of a log with gaps it has to lie within one part.',
    )
    .argument('<cycle>', 'built-in cycle, file, log or composition')
    .addArgument(new Argument('<from>', 'first instant, in seconds').argParser(instant))
    .addArgument(new Argument('<to>', 'last instant, in seconds').argParser(instant))
    .option('--out <file>', 'file to write; - is standard output', '-')
    .addHelpText('after', cycleHelp('cut wltc-class3b 0 589'))
    .action(cutCycle);
  return takesDrives(command);
}

async function cutCycle(
  text: string,
  from: number,
  to: number,
  options: CutOptions,
): Promise<void> {
  const { named, tellCleaning, writeCycle } = await import('./cycle-inputs.ts');
  const { cut } = await import('../cycle/compose.ts');
  const { parts, drives } = await loadParts(text, options);
  tellCleaning(drives);
  const trace = named(text, () => cut(partWith(parts, from, to, text), from, to));
  await writeCycle(options.out, trace, { words: `from ${text}, ${from} s to ${to} s`, drives });
}

/** A log in several parts can be cut where any other command would refuse it. */
async function loadParts(text: string, options: CutOptions) {
  const { existsSync } = await import('node:fs');
  if (!existsSync(text)) {
    const { loadCycles } = await import('./cycle-inputs.ts');
    const [cycle] = await loadCycles([text], options);
    return { parts: [cycle!.value], drives: cycle!.drives };
  }
  const { loadDrive } = await import('../config/load-drive.ts');
  const drive = await loadDrive(text, driveOptions(options));
  throwIfAny(unusedFlags(options, [drive]));
  return { parts: drive.parts, drives: [drive] };
}

function partWith(parts: readonly Trace[], from: number, to: number, text: string): Trace {
  const [only, ...more] = parts;
  if (only !== undefined && more.length === 0) return only;
  const within = parts.find(({ time }) => from >= time[0]! && to <= time.at(-1)!);
  if (within !== undefined) return within;
  const times = parts.map(({ time }) => `${seconds(time[0]!)} to ${seconds(time.at(-1)!)} s`);
  throw new InputError([
    {
      code: 'out-of-range',
      file: text,
      found: `from ${from} s to ${to} s`,
      expected: `two instants within one part of the log, the earlier one first: ${times.join(', ')}`,
      hint: 'bridge longer gaps with `--bridge SECONDS` to cut across them',
    },
  ]);
}

function instant(text: string): number {
  const value = parseNumber(text);
  if (value !== undefined) return value;
  throw new InvalidArgumentError('Expected a number of seconds.');
}

function seconds(time: number): string {
  return String(Number(time.toFixed(1)));
}
