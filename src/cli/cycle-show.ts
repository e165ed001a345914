import { type Command, Option } from 'commander';
import { KILO } from '../config/units.ts';
import type { Car } from '../simulate/car.ts';
import { outputPaint } from './colour.ts';
import { cycleHelp, newCycleCommand, takesDrivesForTable } from './cycle-command.ts';
import { type OutDialectFlags, outDialect, refuseIdleOutDialect } from './dialect-options.ts';
import type { DriveFlags } from './drive-options.ts';
import { number } from './number-argument.ts';
import { tellFormulas, toldOfOutput } from './output-told.ts';
import { writeOut } from './streams.ts';

const FORMATS = ['table', 'json', 'csv', 'markdown'] as const;

interface ShowOptions extends DriveFlags, OutDialectFlags {
  readonly car?: string;
  /** [kJ] */
  readonly storeEnergy?: number;
  /** [kW] */
  readonly storePower?: number;
  readonly format: (typeof FORMATS)[number];
}

/** Bounds that only keep slips of the pen out. */
const ENERGY = { min: 0.001, max: 1e6 } as const;
const POWER = { min: 0.001, max: 1e4 } as const;

/** `cycle show`: the figures of one cycle. */
export function showCommand(): Command {
  const command = newCycleCommand('show')
    .summary('show what a cycle is like, and what it asks of a car')
    .description(
      'Shows the figures of a cycle and a picture of its speeds. With a car, also what it asks of the ' +
        'wheels, and how much of the braking an ideal store of some size could take: the first answer to ' +
        'how large a store should be.',
    )
    .argument('<cycle>', 'built-in cycle, file, log, or several as in "2*udds + nycc"')
    .option('--car <file>', 'car file, or a shipped example')
    .addOption(
      new Option('--store-energy <kJ>', 'energy of the ideal store (default: a table)').argParser(
        number(ENERGY.min, ENERGY.max, 'kJ'),
      ),
    )
    .addOption(
      new Option('--store-power <kW>', 'its power at the wheel (default: a table)').argParser(
        number(POWER.min, POWER.max, 'kW'),
      ),
    )
    .addOption(
      new Option('--format <kind>', 'how the figures are printed')
        .choices(FORMATS)
        .default('table'),
    )
    .addHelpText(
      'after',
      cycleHelp(
        'show wltc-class3b --car estate',
        'A file in the plain form is shown as it stands, as `run` drives it; a log is cleaned.',
      ),
    )
    .action(show);
  return takesDrivesForTable(command);
}

async function show(text: string, options: ShowOptions, command: Command): Promise<void> {
  const { storeEnergy: energy, storePower: power } = options;
  checkTogether(options, command);
  const dialect = outDialect(options);
  const { loadCycles, refuseStandstill } = await import('./cycle-inputs.ts');
  const { cycleSheet } = await import('../output/cycle-sheet.ts');
  const car = options.car === undefined ? undefined : await loadedCar(options.car);
  const [cycle] = await loadCycles([text], options, toldOfOutput);
  const trace = cycle!.value;
  refuseStandstill(trace);
  const sizes =
    energy === undefined || power === undefined
      ? undefined
      : [{ energy: energy * KILO, power: power * KILO }];
  const sheet = cycleSheet(trace, car, sizes);
  switch (options.format) {
    case 'table': {
      const { cycleTable } = await import('../output/cycle-text.ts');
      return writeOut(cycleTable(sheet, trace, await outputPaint()));
    }
    case 'json':
      return writeOut((await import('../output/json.ts')).jsonText(sheet));
    case 'csv':
      tellFormulas([trace.name]);
      return writeOut((await import('../output/cycle-csv.ts')).cycleCsv(sheet, dialect));
    case 'markdown':
      return writeOut((await import('../output/cycle-text.ts')).cycleMarkdown(sheet, trace));
  }
}

/** Options that make no sense without each other. */
function checkTogether(options: ShowOptions, command: Command): void {
  const { car, storeEnergy, storePower, format } = options;
  if (format !== 'csv') refuseIdleOutDialect(command, options, "add '--format csv'");
  if ((storeEnergy === undefined) !== (storePower === undefined)) {
    command.error(
      "error: '--store-energy' and '--store-power' are the size of one store: give both, or neither for a table of sizes",
    );
  }
  if (storeEnergy !== undefined && car === undefined) {
    command.error(
      "error: how much a store can take depends on the car that brakes: add '--car FILE'",
    );
  }
}

async function loadedCar(name: string): Promise<Car> {
  const { loadCar } = await import('../config/load.ts');
  return (await loadCar(name)).value;
}
