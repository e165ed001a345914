import type { Command } from 'commander';
import { InputError, throwIfAny } from '../config/problem.ts';
import { severalParts } from '../config/several-parts.ts';
import { cycleHelp, newCycleCommand, takesDrives } from './cycle-command.ts';
import type { LoadedLog, LogPart } from './cycle-log.ts';
import { type DriveFlags, driveOptions, unusedFlags } from './drive-options.ts';
import { writeErr } from './streams.ts';

/** `cycle convert`: a cycle in the plain form. */
export function convertCommand(): Command {
  const command = newCycleCommand('convert')
    .summary('make a cycle in the plain form of any drive')
    .description(
      'Reads a drive, cleans it, and writes it in the plain form (time_s, speed_kmh, and altitude_m where ' +
        'the road is not flat), which every command drives as it stands.',
    )
    .argument('<in>', 'table in text form, GPX, built-in cycle or composition')
    .argument('[out]', 'file to write; - is standard output', '-')
    .addHelpText('after', cycleHelp('convert examples/logs/hill-road.gpx'))
    .action(convert);
  return takesDrives(command);
}

async function convert(text: string, out: string, options: DriveFlags): Promise<void> {
  const { loadLog } = await import('./cycle-log.ts');
  const { tellCleaning, writeCycle } = await import('./cycle-inputs.ts');
  const log = await loadLog(text, driveOptions(options));
  const isCleaned = log.drives.some((drive) => drive.cleaning !== undefined);
  const { resample: step, ...others } = options;
  throwIfAny(unusedFlags(isCleaned ? options : others, log.drives));
  tellCleaning(log.drives);
  const part = onlyPart(text, log);
  // Where nothing is cleaned, nothing has read the drive at even instants yet.
  const { trace, words } =
    step === undefined || isCleaned
      ? { trace: part.trace, words: `from ${text}` }
      : await resampled(text, part, step);
  const { startAltitude } = part;
  await writeCycle(out, trace, { words, drives: log.drives, startAltitude });
}

async function resampled(text: string, { trace }: LogPart, step: number) {
  const { resample } = await import('../cycle/resample.ts');
  const { fixed } = await import('../summary/numbers.ts');
  const { printable } = await import('../output/problems.ts');
  const even = resample(trace, step);
  const change = `distance ${even.distanceChange < 0 ? '' : '+'}${fixed(even.distanceChange, 3)} m`;
  const left = even.climbLeft === 0 ? '' : `, climb left out ${fixed(even.climbLeft, 3)} m`;
  const words = `from ${text}, read every ${step} s: ${change}${left}`;
  writeErr(`${printable(`${text} read every ${step} s: ${change}${left}`)}\n`);
  return { trace: even.trace, words };
}

function onlyPart(text: string, { parts }: LoadedLog): LogPart {
  const [only, ...more] = parts;
  if (only !== undefined && more.length === 0) return only;
  throw new InputError([
    severalParts(
      text,
      parts.map(({ trace }) => trace),
    ),
  ]);
}
