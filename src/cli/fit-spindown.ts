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
export interface SpindownOptions extends FitFlags {
  readonly store?: string;
  /** [kg m²] */
  readonly inertia?: number;
  /** [1/min] */
  readonly from?: number;
  readonly to?: number;
}

/** `fit spindown`: rotor drag from a spin-down. */
export function fitSpindownCommand(): Command {
  const rotorSpeed = number(1, 200_000, '1/min');
  const command = newFitCommand('spindown')
    .summary('rotor drag from a log of a rotor that runs down')
    .description(
      'Fits the drag torque of a rotor to a spin-down without load: constant, linear, quadratic and ' +
        'the sums of two of them, each against the exact solution, and takes the one with the least ' +
        'Bayesian information criterion.',
    )
    .argument('<file>', 'table of time and rotor speed')
    .option('--store <file>', 'store file, for the inertia of its rotor')
    .addOption(
      new Option('--inertia <kg m²>', 'inertia of the rotor and what turns with it').argParser(
        number(1e-5, 1000, 'kg m²'),
      ),
    )
    .addOption(
      new Option('--from <rpm>', 'highest rotor speed that is fitted').argParser(rotorSpeed),
    )
    .addOption(new Option('--to <rpm>', 'lowest rotor speed that is fitted').argParser(rotorSpeed));
  return addFitOptions(command, ['time', 'rotor_speed'])
    .addHelpText(
      'after',
      fitHelp(
        'spindown examples/measured/spindown.csv --inertia 0.0312',
        `With a store file whose drag is physical, the shape of the rotor is known, and the pressure is
told at which the linear part would be windage of free molecules alone.`,
      ),
    )
    .action(async (file: string, options: SpindownOptions, command: Command) => {
      checkTogether(options, command);
      await (await import('./fit-spindown-run.ts')).runFitSpindown(file, options);
    });
}

function checkTogether(options: SpindownOptions, command: Command): void {
  checkFitFlags(options, command);
  const { store, inertia, from, to } = options;
  if ((store === undefined) === (inertia === undefined)) {
    command.error(
      "error: the inertia of the rotor is needed: '--inertia KG_M2' or '--store FILE', one of the two",
    );
  }
  if (from !== undefined && to !== undefined && from <= to) {
    command.error("error: '--from' is the highest speed and '--to' the lowest: exchange them");
  }
}
