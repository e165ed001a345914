import { type Command, InvalidArgumentError, Option } from 'commander';
import { parseNumber } from '../config/number.ts';
import { EXAMPLE } from '../config/shipped.ts';
import { suggest } from '../config/suggest.ts';
import { type DriveLimit, FIGURE_NAMES } from '../fit/drive-limits.ts';
import {
  addFitOptions,
  checkFitFlags,
  type FitFlags,
  fitHelp,
  newFitCommand,
} from './fit-command.ts';
import { number } from './number-argument.ts';

/** The options as the user gave them. */
export interface DriveFitOptions extends FitFlags {
  readonly car?: string;
  readonly store?: string;
  readonly strategy?: string;
  readonly cycle?: string;
  /** [s] */
  readonly shift?: number;
  readonly shiftWindow: number;
  readonly stretch: number;
  readonly startTolerance: number;
  readonly limit?: readonly DriveLimit[];
  readonly estimate?: readonly string[];
}

/** What a column of a log of a drive may hold; the road only where the log is the cycle. */
const QUANTITIES = [
  'time',
  'speed',
  'fuel',
  'fuel_volume',
  'rotor_speed',
  'engine_on',
  'grade',
  'altitude',
];

/** `fit drive`: a measured log against its simulation. */
export function fitDriveCommand(): Command {
  const command = newFitCommand('drive')
    .summary('hold a measured log against the simulated drive')
    .description(
      'Simulates a case and holds a measured log of it against that: fuel flow, rotor speed, engine ' +
        'on or off, whichever the log has. Holds the agreement against limits, and estimates ' +
        'parameters of car and store from the log.',
    )
    .argument('<file>', 'table of time and some of speed, fuel flow, rotor speed, engine on')
    .option('--car <file>', `car file, or a shipped example (default: ${EXAMPLE.car})`)
    .option('--store <file>', `store file, or a shipped example (default: ${EXAMPLE.store})`)
    .option(
      '--strategy <file>',
      `strategy file, or a shipped example (default: ${EXAMPLE.strategy})`,
    )
    .option('--cycle <name>', 'what was driven, as `run` takes it (default: the speed of the log)')
    .addOption(
      new Option(
        '--shift <seconds>',
        'set how far the log lags behind, instead of finding it',
      ).argParser(number(-86_400, 86_400, 'seconds')),
    )
    .addOption(
      new Option('--shift-window <seconds>', 'farthest lag that is looked for, either way')
        .argParser(number(1, 3600, 'seconds'))
        .default(30),
    )
    .addOption(
      new Option('--stretch <seconds>', 'length of the stretches of which the worst are named')
        .argParser(number(1, 3600, 'seconds'))
        .default(20),
    )
    .addOption(
      new Option('--start-tolerance <seconds>', 'engine starts no farther apart are the same')
        .argParser(number(0, 60, 'seconds'))
        .default(2),
    )
    .addOption(
      new Option(
        '--limit <figure=most>',
        'status 3 where the size of a figure is above; may be given again',
      ).argParser(limit),
    )
    .addOption(
      new Option(
        '--estimate <path>',
        'estimate a number of car or store from the log, as car.mass_kg; may be given again',
      ).argParser((path: string, before: readonly string[] = []) => [...before, path]),
    );
  return addFitOptions(command, QUANTITIES)
    .addHelpText(
      'after',
      fitHelp(
        'drive examples/measured/drive.csv --cycle "udds[0..505]" --limit fuel_total_pct=5',
        `Without \`--cycle\` the speed of the log is what is driven, and both share one clock. With it the
lag between the two is found by the correlation of the speeds, or else of another channel. The drive
is simulated once, from the rotor speed that the log begins with. A fuel flow is taken for the mean
until the next row.

Figures for \`--limit\`: ${FIGURE_NAMES.slice(0, 3).join(', ')},
${FIGURE_NAMES.slice(3, 7).join(', ')},
${FIGURE_NAMES.slice(7).join(', ')}.`,
        ' 3 done and written,\nbut a limit does not hold;',
      ),
    )
    .action(async (file: string, options: DriveFitOptions, command: Command) => {
      checkFitFlags(options, command);
      await (await import('./fit-drive-run.ts')).runFitDrive(file, options);
    });
}

/** Reads `fuel_total_pct=2`; given again it adds to the last. */
function limit(text: string, before: readonly DriveLimit[] = []): readonly DriveLimit[] {
  const [name = '', value = ''] = text.split('=');
  const figure = FIGURE_NAMES.find((known) => known === name.trim());
  if (figure === undefined) {
    const near = suggest(name, FIGURE_NAMES);
    const meant = near === undefined ? '' : ` Did you mean ${near}?`;
    throw new InvalidArgumentError(`Expected one of ${FIGURE_NAMES.join(', ')}.${meant}`);
  }
  const most = parseNumber(value);
  if (most === undefined || most < 0) {
    throw new InvalidArgumentError(`Expected ${figure}=MOST with a number from 0 up.`);
  }
  if (before.some((one) => one.figure === figure)) {
    throw new InvalidArgumentError(`${figure} stands there twice.`);
  }
  return [...before, { figure, most }];
}
