import { type Command, Option } from 'commander';
import { EXAMPLE } from '../config/shipped.ts';
import type { Decimal, Delimiter } from '../cycle/dialect.ts';
import { newCommand } from './command.ts';
import { addDialectOptions, refuseIdleDialect } from './dialect-options.ts';
import { number } from './number-argument.ts';

const FORMATS = ['table', 'json', 'csv', 'markdown', 'none'] as const;

/** The options as the user gave them; what is left out comes from the shipped example. */
export interface SprintOptions {
  readonly car?: string;
  readonly store?: string;
  readonly adhesion?: number;
  /** [%] */
  readonly grade: number;
  /** [km/h] */
  readonly engineOffSpeed: number;
  readonly cruiseSpeed: number;
  readonly trace?: string;
  readonly format: (typeof FORMATS)[number];
  readonly delimiter?: Delimiter;
  readonly decimal?: Decimal;
}

/** Bounds that only keep slips of the pen out. */
const ADHESION = { min: 0.05, max: 1.5 } as const;
const GRADE = { min: -30, max: 60 } as const;
const SPEED = { min: 5, max: 250 } as const;

/** `sprint`: what the store does for acceleration. */
export function sprintCommand(): Command {
  const command = newCommand('sprint')
    .summary('drive a car at full load, with and without the store')
    .description(
      'Drives one car at full load from rest and from 80 to 120 km/h: on its own, and with\n' +
        'the store empty, half full and full. Prints times, boost, grades, what limited engine\n' +
        'and store, how far the store drives the car with the engine off, and how soon the engine\n' +
        'fills it. What is not given is taken from the shipped example, an invented scenario.',
    )
    .option('--car <file>', `car file, or a shipped example (default: ${EXAMPLE.car})`)
    .option('--store <file>', `store file, or a shipped example (default: ${EXAMPLE.store})`)
    .addOption(
      new Option('--adhesion <mu>', 'of the tyres (default: that of the car file)').argParser(
        number(ADHESION.min, ADHESION.max, 'a ratio of forces'),
      ),
    )
    .addOption(
      new Option('--grade <pct>', 'slope of the road')
        .argParser(number(GRADE.min, GRADE.max, '%'))
        .default(0),
    )
    .addOption(
      new Option('--engine-off-speed <kmh>', 'at which the store drives the car alone')
        .argParser(number(SPEED.min, SPEED.max, 'km/h'))
        .default(50),
    )
    .addOption(
      new Option('--cruise-speed <kmh>', 'at which the engine fills the store')
        .argParser(number(SPEED.min, SPEED.max, 'km/h'))
        .default(80),
    )
    .option('--trace <file>', 'write a CSV of every interval of every drive; - is standard output')
    .addOption(
      new Option('--format <kind>', 'how the figures are printed')
        .choices(FORMATS)
        .default('table'),
    );
  return addDialectOptions(command)
    .addHelpText(
      'after',
      `
Example:
  npx spinledger sprint --car saloon --store rim-60

The driver launches with the launch device slipping, changes up where the next gear pulls
harder or at the engine's greatest speed, and has no pull while a gear is changed. The engine
gets what the tyres hold first, the store what is left of it. Overtaking starts in the gear
that pulls most. Section \`sprint\` of a car file says which axle is driven and how long a
change of gear takes.

A figure that is not reached is a dash, null in JSON, and the reason is told below.

Exit status: 0 done; 1 a defect of the program; 2 bad usage or input; 130 interrupted.`,
    )
    .action(async (options: SprintOptions, command: Command) => {
      if (options.trace === '-' && options.format !== 'none') {
        command.error(
          "error: '--trace -' writes the trace to standard output, where the figures would run into it: add '--format none'",
        );
      }
      if (options.format !== 'csv' && options.trace === undefined) {
        refuseIdleDialect(
          command,
          { '--delimiter': options.delimiter, '--decimal': options.decimal },
          "add '--format csv' or '--trace FILE'",
        );
      }
      // What only a sprint needs is loaded here, so that `--help` is quick.
      await (await import('./sprint-case.ts')).runSprint(options);
    });
}
