import { type Loaded, loadCar, loadStore } from '../config/load.ts';
import { InputError } from '../config/problem.ts';
import { EXAMPLE, shippedPath } from '../config/shipped.ts';
import { DEGREE, KILO, KMH, MEGA, MILLI, RPM } from '../config/units.ts';
import { type CsvDialect, csvDialect } from '../output/csv-dialect.ts';
import { jsonText } from '../output/json.ts';
import { UniformCurve } from '../physics/curve.ts';
import type { Rotor, RotorDrag } from '../physics/rotor.ts';
import {
  inertiaFactor,
  ROTOR_MATERIALS,
  type RotorMaterial,
  type StressShape,
} from '../physics/rotor-stress.ts';
import type { Store } from '../physics/store.ts';
import { windage } from '../physics/windage.ts';
import {
  type RotorConditions,
  type RotorSubject,
  type RotorSummary,
  summariseRotor,
} from '../summary/rotor-summary.ts';
import { outputPaint } from './colour.ts';
import { tellDefaults } from './defaults-told.ts';
import { tellFormulas } from './output-told.ts';
import type { RotorOptions } from './rotor.ts';
import { refuseToReplace } from './same-file.ts';
import { writeOut } from './streams.ts';
import { writeWhole } from './whole-file.ts';

/** Air of a housing whose temperature nobody gave [K]. */
const USUAL_TEMPERATURE = 293.15;
/** The drag curve of a rotor of one's own: its reach over the greatest speed, and its points. */
const CURVE_TOP = 1.2;
const CURVE_POINTS = 513;

/**
 * Makes a rotor of the options, and writes its curves and figures.
 * @throws InputError for an input or a place to write that cannot be used
 */
export async function showRotor(options: RotorOptions): Promise<void> {
  const { store: storeName = EXAMPLE.store, car: carName = EXAMPLE.car } = options;
  const dialect = csvDialect(options);
  const car = await loadCar(carName);
  const store = options.speed === undefined ? await loadStore(storeName) : undefined;
  const inputs = [
    shippedPath('car', carName),
    ...(store === undefined ? [] : [shippedPath('store', storeName)]),
  ];
  refuseToReplace(inputs, '--spin-down', options.spinDown);
  refuseToReplace(inputs, '--windage', options.windage);
  tellDefaults(options, options.speed === undefined ? ['car', 'store'] : ['car']);
  const subject = store === undefined ? ownRotor(options) : rotorOfStore(store, options);
  const conditions: RotorConditions = {
    car: car.name,
    mass: car.value.mass,
    tyreRadius: car.value.tyreRadius,
    finalDriveRatio: car.value.gearbox.finalDriveRatio,
    slowest: options.fromSpeed * KMH,
    fastest: options.toSpeed * KMH,
    yawRate: options.yawRate * DEGREE,
    rollRate: options.rollRate * DEGREE,
  };
  const summary = summariseRotor(subject, conditions);
  const { spinDownCsv, windageCsv } = await import('../output/rotor-csv.ts');
  if (options.spinDown !== undefined)
    await written(options.spinDown, spinDownCsv(subject.rotor, dialect));
  if (options.windage !== undefined) {
    if (summary.windage === null) throw noHousing();
    await written(options.windage, windageCsv(summary, dialect));
  }
  if (options.format === 'csv') tellFormulas([subject.name, car.name]);
  writeOut(await printed(summary, options.format, dialect));
}

function shapeOf({ shape = 'ring', bore = 0 }: RotorOptions): StressShape {
  return shape === 'bored' ? { form: shape, bore } : { form: shape };
}

function materialOf({ material, density, strength }: RotorOptions): RotorMaterial {
  const generic = ROTOR_MATERIALS[material];
  return {
    ...generic,
    ...(density !== undefined && { density }),
    ...(strength !== undefined && { strength: strength * MEGA }),
  };
}

function rotorOfStore({ name, value }: Loaded<Store>, options: RotorOptions): RotorSubject {
  const { rotor, transmission } = value;
  const known = rotor.drag.form === 'curve' ? rotor.drag.housing : undefined;
  const given = (['length', 'gap', 'pressure'] as const).find(
    (flag) => options[flag] !== undefined,
  );
  if (known !== undefined && given !== undefined) {
    throw new InputError([
      {
        code: 'conflicting-option',
        file: `--${given}`,
        found: `a store file with a housing of its own`,
        expected: 'its housing, which the drag of the rotor is computed from',
        hint: 'change it in the store file; the windage is shown over pressure all the same',
      },
    ]);
  }
  const shape = shapeOf(options);
  const radius = options.radius ?? (options.mass === undefined ? known?.shape.radius : undefined);
  const outer =
    radius ??
    (options.mass === undefined
      ? undefined
      : Math.sqrt(rotor.inertia / (inertiaFactor(shape) * options.mass)));
  return {
    name,
    rotor,
    radius,
    mass: options.mass,
    shape,
    material: materialOf(options),
    housing: known ?? housingOf(options, outer),
    transmission,
  };
}

/** A rotor of the options alone; commander has seen to it that they suffice. */
function ownRotor(options: RotorOptions): RotorSubject {
  const { speed = 0, minSpeed = speed / 3, energy, mass, radius } = options;
  const shape = shapeOf(options);
  const maxSpeed = speed * RPM;
  const factor = inertiaFactor(shape);
  const inertia =
    energy === undefined
      ? factor * (mass ?? 0) * (radius ?? 0) ** 2
      : (2 * energy * KILO) / (maxSpeed * maxSpeed);
  const outer = radius ?? (mass === undefined ? undefined : Math.sqrt(inertia / (factor * mass)));
  const housing = housingOf(options, outer);
  const bearings = options.bearingTorque ?? 0;
  const drag: RotorDrag =
    housing === undefined
      ? { form: 'coefficients', c0: bearings, c1: 0, c2: 0 }
      : {
          form: 'curve',
          torque: new UniformCurve(
            CURVE_TOP * maxSpeed,
            CURVE_POINTS,
            (at) => bearings + windage(housing.shape, housing.chamber, at).torque,
          ),
          housing,
        };
  const rotor: Rotor = { inertia, minSpeed: minSpeed * RPM, maxSpeed, drag };
  return {
    name: 'these options',
    rotor,
    radius: outer,
    mass,
    shape,
    material: materialOf(options),
    housing,
  };
}

function housingOf(
  { length, gap, pressure }: RotorOptions,
  radius: number | undefined,
): RotorSubject['housing'] {
  if (radius === undefined || length === undefined) return undefined;
  if (gap === undefined || pressure === undefined) return undefined;
  return {
    shape: { radius, length },
    chamber: { pressure, temperature: USUAL_TEMPERATURE, gap: gap * MILLI, accommodation: 1 },
  };
}

function noHousing(): InputError {
  return new InputError([
    {
      code: 'no-housing',
      file: '--windage',
      found: 'a rotor of which neither body nor housing is known',
      expected: 'radius or mass, length, gap and pressure',
      hint: 'add `--radius`, `--length`, `--gap` and `--pressure`',
    },
  ]);
}

async function written(path: string, text: string): Promise<void> {
  if (path === '-') writeOut(text);
  else await writeWhole(path, (write) => write(text));
}

async function printed(
  summary: RotorSummary,
  format: RotorOptions['format'],
  dialect: CsvDialect,
): Promise<string> {
  switch (format) {
    case 'table': {
      const { rotorTable } = await import('../output/rotor-text.ts');
      return rotorTable(summary, await outputPaint());
    }
    case 'json':
      return jsonText(summary);
    case 'csv':
      return (await import('../output/rotor-csv.ts')).rotorCsv(summary, dialect);
    case 'markdown':
      return (await import('../output/rotor-text.ts')).rotorMarkdown(summary);
    case 'none':
      return '';
  }
}
