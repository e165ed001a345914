import { type Command, Option } from 'commander';
import {
  addFitOptions,
  checkFitFlags,
  type FitFlags,
  fitHelp,
  newFitCommand,
} from './fit-command.ts';
import { number } from './number-argument.ts';

/** The options as the user gave them. */
export interface CoastdownOptions extends FitFlags {
  readonly back?: readonly string[];
  readonly car?: string;
  /** [kg] */
  readonly mass?: number;
  readonly rotatingMass?: number;
  /** [km/h] */
  readonly from?: number;
  readonly to: number;
  /** [°C] */
  readonly temperature?: number;
  /** [kPa] */
  readonly pressure?: number;
  readonly reference: 'gtr15' | 'us';
}

/** Lowest speed of a coastdown: 9.3 mph (40 CFR 1066.805(c), read) [km/h]. */
const LOWEST_SPEED = 15;

/** `fit coastdown`: road load from coastdown runs. */
export function fitCoastdownCommand(): Command {
  const command = newFitCommand('coastdown')
    .summary('road-load coefficients from coastdown runs in both directions')
    .description(
      'Fits F0, F1 and F2 to coastdown runs in both directions, by least squares against the exact ' +
        'solution of the rolling car, and prints them with 95 % intervals, ready for a car file.',
    )
    .argument('<files...>', 'tables of time and speed, one run or several in each')
    .option('--back <files...>', 'tables of the runs in the other direction')
    .option('--car <file>', 'car file, for its mass and rotating mass')
    .addOption(
      new Option('--mass <kg>', 'mass of the car with all that was in it').argParser(
        number(100, 60_000, 'kg'),
      ),
    )
    .addOption(
      new Option(
        '--rotating-mass <kg>',
        'equivalent mass of wheels and what turns with them (default: 3 % of the mass)',
      ).argParser(number(0, 6000, 'kg')),
    )
    .addOption(
      new Option('--from <kmh>', 'highest speed that is fitted').argParser(number(1, 400, 'km/h')),
    )
    .addOption(
      new Option('--to <kmh>', 'lowest speed that is fitted')
        .argParser(number(0, 400, 'km/h'))
        .default(LOWEST_SPEED),
    )
    .addOption(
      new Option('--temperature <C>', 'air temperature of the test, for the correction').argParser(
        number(-50, 60, '°C'),
      ),
    )
    .addOption(
      new Option('--pressure <kPa>', 'air pressure of the test, for the correction').argParser(
        number(40, 115, 'kPa'),
      ),
    )
    .addOption(
      new Option('--reference <state>', 'gtr15: 20 °C, 100 kPa; us: 20 °C, 98.21 kPa')
        .choices(['gtr15', 'us'])
        .default('gtr15'),
    );
  return addFitOptions(command, ['time', 'speed', 'run', 'direction'])
    .addHelpText(
      'after',
      fitHelp(
        'coastdown examples/measured/coastdown.csv --mass 1475 --temperature 12 --pressure 99.1',
        `A table has time and speed, and for several runs a \`run\` and a \`direction\` column (any two
words for the two directions). Without a direction column all runs of a file go one way, and the
files behind \`--back\` the other. Without a run column a new run begins where the time goes back or
the direction changes. The first run there is paired with the first run back, and so on: each pair
has its own wind and slope, which cancel. Three pairs or more give the intervals their ground.`,
      ),
    )
    .action(async (files: string[], options: CoastdownOptions, command: Command) => {
      checkTogether(options, command);
      await (await import('./fit-coastdown-run.ts')).runFitCoastdown(files, options);
    });
}

function checkTogether(options: CoastdownOptions, command: Command): void {
  checkFitFlags(options, command);
  const { car, mass, rotatingMass, temperature, pressure, from, to } = options;
  if ((car === undefined) === (mass === undefined)) {
    command.error(
      "error: the mass of the car is needed: '--mass KG' or '--car FILE', one of the two",
    );
  }
  if (car !== undefined && rotatingMass !== undefined) {
    command.error("error: '--rotating-mass' stands in the car file: drop one of the two");
  }
  if ((temperature === undefined) !== (pressure === undefined)) {
    command.error("error: '--temperature' and '--pressure' go together: give both, or neither");
  }
  if (from !== undefined && from <= to) {
    command.error("error: '--from' is the highest speed and '--to' the lowest: exchange them");
  }
}
