import { type Command, Option } from 'commander';
import { EXAMPLE } from '../config/shipped.ts';
import type { Decimal, Delimiter } from '../cycle/dialect.ts';
import { newCommand } from './command.ts';
import { addDialectOptions, refuseIdleDialect } from './dialect-options.ts';
import { number } from './number-argument.ts';

const FORMATS = ['table', 'json', 'csv', 'markdown', 'none'] as const;
const SHAPES = ['ring', 'disc', 'bored'] as const;
const MATERIALS = ['steel', 'aluminium', 'titanium', 'glass-epoxy', 'carbon-epoxy'] as const;

/** The options as the user gave them, in the units of the command line. */
export interface RotorOptions {
  readonly store?: string;
  readonly car?: string;
  /** [kJ] */
  readonly energy?: number;
  /** [1/min] */
  readonly speed?: number;
  readonly minSpeed?: number;
  /** [kg] */
  readonly mass?: number;
  /** [m] */
  readonly radius?: number;
  readonly length?: number;
  /** [mm] */
  readonly gap?: number;
  /** [Pa] */
  readonly pressure?: number;
  /** [N m] */
  readonly bearingTorque?: number;
  readonly shape?: (typeof SHAPES)[number];
  readonly bore?: number;
  readonly material: (typeof MATERIALS)[number];
  /** [kg/m³] */
  readonly density?: number;
  /** [MPa] */
  readonly strength?: number;
  /** [km/h] */
  readonly fromSpeed: number;
  readonly toSpeed: number;
  /** [°/s] */
  readonly yawRate: number;
  readonly rollRate: number;
  readonly spinDown?: string;
  readonly windage?: string;
  readonly format: (typeof FORMATS)[number];
  readonly delimiter?: Delimiter;
  readonly decimal?: Decimal;
}

/** `rotor`: rim speed, stress, energy and spin-down of a sizing. */
export function rotorCommand(): Command {
  const command = newCommand('rotor')
    .summary('show what a rotor of some size means: energy, stress, drag, ratio range')
    .description(
      'Shows the figures of a rotor: what a burst sets free, rim speed, stress, spin-down,\n' +
        'windage, torque on its bearings, and the ratio range that a car asks for. The rotor is\n' +
        'that of a store file, or one that is given by its greatest speed and its energy, or by\n' +
        'speed, mass and radius.',
    )
    .option('--store <file>', `store file, or a shipped example (default: ${EXAMPLE.store})`)
    .option('--car <file>', `car file, or a shipped example (default: ${EXAMPLE.car})`);
  const own = 'A rotor of your own:';
  const body = 'Its body:';
  const motion = 'The car in motion:';
  const limited = (
    group: string,
    flags: string,
    text: string,
    min: number,
    max: number,
    unit: string,
    preset?: number,
  ) => {
    const option = new Option(flags, text).argParser(number(min, max, unit)).helpGroup(group);
    command.addOption(preset === undefined ? option : option.default(preset));
  };
  limited(own, '--speed <rpm>', 'greatest speed', 100, 200_000, '1/min');
  limited(own, '--min-speed <rpm>', 'lowest (default: a third)', 10, 200_000, '1/min');
  limited(own, '--energy <kJ>', 'at the greatest speed', 0.1, 100_000, 'kJ');
  limited(own, '--bearing-torque <Nm>', 'drag of bearings and seals (default: 0)', 0, 20, 'N m');
  limited(body, '--mass <kg>', 'of the rotor alone', 0.01, 2000, 'kg');
  limited(body, '--radius <m>', 'outer radius', 0.01, 2, 'm');
  command.addOption(
    new Option('--shape <form>', 'thin ring, solid disc, disc with a bore (default: ring)')
      .choices(SHAPES)
      .helpGroup(body),
  );
  limited(body, '--bore <ratio>', 'inner over outer radius of a bored disc', 0.001, 0.99, '-');
  command.addOption(
    new Option('--material <name>', 'generic material')
      .choices(MATERIALS)
      .default('carbon-epoxy')
      .helpGroup(body),
  );
  limited(body, '--density <kg/m3>', 'of the material', 500, 20_000, 'kg/m³');
  limited(body, '--strength <MPa>', 'of the material, without margin', 10, 10_000, 'MPa');
  limited(body, '--length <m>', 'axial length, for windage', 0.001, 2, 'm');
  limited(body, '--gap <mm>', 'to the housing, for windage', 0.1, 100, 'mm');
  limited(body, '--pressure <Pa>', 'in the housing, for windage', 1e-4, 120_000, 'Pa');
  limited(motion, '--from-speed <kmh>', 'slowest without slip', 1, 300, 'km/h', 20);
  limited(motion, '--to-speed <kmh>', 'fastest without slip', 1, 300, 'km/h', 120);
  limited(motion, '--yaw-rate <deg/s>', 'in a tight bend', 0, 360, '°/s', 30);
  limited(motion, '--roll-rate <deg/s>', 'over a kerb', 0, 360, '°/s', 30);
  return addDialectOptions(command)
    .option('--spin-down <file>', 'write a CSV of the spin-down; - is standard output')
    .option('--windage <file>', 'write a CSV of windage over pressure; - is standard output')
    .addOption(
      new Option('--format <kind>', 'how the figures are printed')
        .choices(FORMATS)
        .default('table'),
    )
    .addHelpText(
      'after',
      `
Example:
  npx spinledger rotor --energy 540 --speed 60000 --radius 0.12

These figures prove nothing about a rotor that is to be built. The strengths of the materials
are common practice, without a margin; \`--density\` and \`--strength\` take their place.

Exit status: 0 done; 1 a defect of the program; 2 bad usage or input; 130 interrupted.`,
    )
    .action(async (options: RotorOptions, self: Command) => {
      checkTogether(options, self);
      const { format, spinDown, windage, delimiter, decimal } = options;
      if (format !== 'csv' && spinDown === undefined && windage === undefined) {
        refuseIdleDialect(
          self,
          { '--delimiter': delimiter, '--decimal': decimal },
          "add '--format csv', '--spin-down FILE' or '--windage FILE'",
        );
      }
      await (await import('./rotor-case.ts')).showRotor(options);
    });
}

/** Options that make no sense together, or without each other. */
function checkTogether(options: RotorOptions, command: Command): void {
  const { store, speed, energy, mass, radius, shape, bore } = options;
  const refuse = (text: string) => command.error(`error: ${text}`);
  if (speed !== undefined && store !== undefined) {
    refuse(
      "'--speed' is about a rotor of your own, '--store' about that of a file: give one of them",
    );
  }
  if (speed === undefined) {
    for (const flag of ['energy', 'minSpeed', 'bearingTorque'] as const) {
      if (options[flag] === undefined) continue;
      refuse(`'--${dashed(flag)}' is about a rotor of your own: add '--speed RPM'`);
    }
    if (mass !== undefined && radius !== undefined) {
      refuse(
        "the store file gives the inertia, so that one of '--mass' and '--radius' gives the other",
      );
    }
  } else {
    const isBody = mass !== undefined && radius !== undefined;
    if (energy === undefined && !isBody) {
      refuse("a rotor of your own needs '--energy', or '--mass' and '--radius'");
    }
    if (energy !== undefined && isBody) {
      refuse(
        "'--energy' and one of '--mass' and '--radius' give the other: leave one of the three out",
      );
    }
    if (options.minSpeed !== undefined && options.minSpeed >= speed) {
      refuse("'--min-speed' must be below '--speed'");
    }
  }
  if (shape === 'bored' && bore === undefined) refuse("'--shape bored' needs '--bore RATIO'");
  if (bore !== undefined && shape !== 'bored') refuse("'--bore' goes with '--shape bored'");
  if (options.fromSpeed >= options.toSpeed) refuse("'--from-speed' must be below '--to-speed'");
  const toOutput = [options.spinDown === '-', options.windage === '-', options.format !== 'none'];
  if ((toOutput[0] || toOutput[1]) && toOutput.filter(Boolean).length > 1) {
    refuse("only one thing can go to standard output: add '--format none', or name a file");
  }
}

function dashed(flag: string): string {
  return flag.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
}
