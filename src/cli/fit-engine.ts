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
export interface EngineOptions extends FitFlags {
  readonly car?: string;
  /** [L] */
  readonly displacement?: number;
  readonly fuel?: 'diesel' | 'petrol';
}

/** `fit engine`: the affine form from engine points. */
export function fitEngineCommand(): Command {
  const command = newFitCommand('engine')
    .summary('efficiency and friction from measured engine points')
    .description(
      'Fits the affine form of the fuel use, efficiency and friction pressure, to measured points of ' +
        'speed, torque and fuel, and says where the form is poor.',
    )
    .argument('<file>', 'table of speed, torque and fuel')
    .option('--car <file>', 'car file, for displacement, fuel and idle speed of its engine')
    .addOption(new Option('--displacement <L>', 'swept volume').argParser(number(0.05, 50, 'L')))
    .addOption(new Option('--fuel <name>', 'what was burned').choices(['diesel', 'petrol']));
  return addFitOptions(command, ['speed', 'torque', 'fuel', 'fuel_volume', 'bsfc'])
    .addHelpText(
      'after',
      fitHelp(
        'engine examples/measured/engine.csv --displacement 1.6 --fuel diesel',
        `Fuel is a flow (\`fuel_g_per_s\`, \`fuel_kg_per_h\`, \`fuel_volume_L_per_h\`) or \`bsfc_g_per_kWh\`. The
affine form is called poor where its relative residuals are above 3 % rms, or above 5 % in the mean
of a cell of the map.`,
      ),
    )
    .action(async (file: string, options: EngineOptions, command: Command) => {
      checkTogether(options, command);
      await (await import('./fit-engine-run.ts')).runFitEngine(file, options);
    });
}

function checkTogether(options: EngineOptions, command: Command): void {
  checkFitFlags(options, command);
  const { car, displacement, fuel } = options;
  const own = displacement !== undefined && fuel !== undefined;
  if (car === undefined && !own) {
    command.error(
      "error: the engine has to be known: '--displacement L' with '--fuel NAME', or '--car FILE'",
    );
  }
  if (car !== undefined && (displacement !== undefined || fuel !== undefined)) {
    command.error("error: displacement and fuel stand in the car file: drop them, or '--car'");
  }
}
