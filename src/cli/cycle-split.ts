import { type Command, Option } from 'commander';
import { throwIfAny } from '../config/problem.ts';
import { outputPaint } from './colour.ts';
import { cycleHelp, newCycleCommand, takesDrivesForTable } from './cycle-command.ts';
import { type OutDialectFlags, outDialect, refuseIdleOutDialect } from './dialect-options.ts';
import { type DriveFlags, driveOptions, unusedFlags } from './drive-options.ts';
import { number } from './number-argument.ts';
import { tellFormulas, toldOfOutput } from './output-told.ts';
import { writeErr, writeOut } from './streams.ts';

const FORMATS = ['table', 'json', 'csv'] as const;

interface SplitOptions extends DriveFlags, OutDialectFlags {
  readonly out: string;
  readonly trips?: boolean;
  readonly microTrips?: boolean;
  /** [s] */
  readonly longestStop?: number;
  readonly format: (typeof FORMATS)[number];
}

/** Bounds of a standstill that ends a trip [s]; they only keep slips of the pen out. */
const STOP = { min: 0, max: 86_400 } as const;

/** `cycle split`: the pieces of a log as files. */
export function splitCommand(): Command {
  const command = newCycleCommand('split')
    .summary('split a log into parts, trips or micro-trips')
    .description(
      'Cleans a log and writes its pieces as files in the plain form, on the clock of the log, and a table ' +
        'of them on standard output. The pieces are its parts, between gaps that are too long to bridge; ' +
        'with --trips parted at long standstills as well, which belong to no trip; with --micro-trips ' +
        'parted at every stop, each piece with the standstill before it, so that joined they are the drive.',
    )
    .argument('<file>', 'table in text form, GPX, built-in cycle or composition')
    .requiredOption('--out <folder>', 'folder for the files, made if it is not there')
    .option('--trips', 'part it at long standstills')
    .addOption(
      new Option('--micro-trips', 'part it at every stop').conflicts(['trips', 'longestStop']),
    )
    .addOption(
      new Option(
        '--longest-stop <seconds>',
        'longest standstill within a trip (default: 300)',
      ).argParser(number(STOP.min, STOP.max, 'seconds')),
    )
    .addOption(
      new Option('--format <kind>', 'how the table is printed').choices(FORMATS).default('table'),
    )
    .addHelpText('after', cycleHelp('split udds --micro-trips --out udds-micro-trips'))
    .action(split);
  return takesDrivesForTable(command);
}

async function split(text: string, options: SplitOptions, command: Command): Promise<void> {
  checkTogether(options, command);
  const dialect = outDialect(options);
  const { loadLog } = await import('./cycle-log.ts');
  const { tellCleaning } = await import('./cycle-inputs.ts');
  const { piecesOf, writePieces } = await import('./cycle-pieces.ts');
  const { pieceCsv, pieceList, pieceTable } = await import('../output/cycle-pieces.ts');
  const log = await loadLog(text, driveOptions(options));
  throwIfAny(unusedFlags(options, log.drives).map(toldOfOutput));
  tellCleaning(log.drives);
  const { pieces, leftOut } = piecesOf(log, options);
  if (leftOut > 0) writeErr(`${leftOut} of less than 1 m left out: no drive\n`);
  await writePieces(text, options.out, pieces, log.drives);
  const found = pieceList(pieces);
  switch (options.format) {
    case 'table':
      return writeOut(pieceTable(found, await outputPaint()));
    case 'json':
      return writeOut((await import('../output/json.ts')).jsonText(found));
    case 'csv':
      tellFormulas(pieces.map(({ file }) => file));
      return writeOut(pieceCsv(found, dialect));
  }
}

function checkTogether(options: SplitOptions, command: Command): void {
  const { trips, longestStop, format } = options;
  if (format !== 'csv') refuseIdleOutDialect(command, options, "add '--format csv'");
  if (longestStop !== undefined && trips !== true) {
    command.error("error: '--longest-stop' is about trips: add '--trips'");
  }
}
