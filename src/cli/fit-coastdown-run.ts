import { loadCar } from '../config/load.ts';
import { InputError } from '../config/problem.ts';
import { ROTATING_MASS_SHARE } from '../config/resolve-car.ts';
import { celsiusToKelvin, KILO, KMH } from '../config/units.ts';
import { fitCoastdown, type RollingMass } from '../fit/coastdown.ts';
import { REFERENCES, toReference } from '../fit/coastdown-reference.ts';
import { COASTDOWN_FORM, pairRuns } from '../fit/coastdown-runs.ts';
import type { MeasuredTable } from '../fit/measured-table.ts';
import { coastdownResiduals, coastdownText } from '../output/fit-coastdown.ts';
import { coastdownSheet, type FittedCoastdown } from '../output/fit-coastdown-sheet.ts';
import type { CoastdownOptions } from './fit-coastdown.ts';
import { fitted, printFit, readTables } from './fit-print.ts';

/**
 * Reads coastdown runs, fits them and prints what came out.
 * @throws InputError where the runs cannot be used
 */
export async function runFitCoastdown(
  files: readonly string[],
  options: CoastdownOptions,
): Promise<void> {
  const { back = [], from, to } = options;
  const mass = await rollingMass(options);
  const tables = await readTables([...files, ...back], COASTDOWN_FORM, options);
  if (back.length > 0) refuseColumn(tables);
  const directed = tables.map((table, k) => ({
    table,
    direction: k < files.length ? 'there' : 'back',
  }));
  const range = { from: from === undefined ? Number.POSITIVE_INFINITY : from * KMH, to: to * KMH };
  const runs = pairRuns(directed, range);
  const fit = fitted(
    files[0]!,
    'F0, F1 and F2',
    'take the runs from a higher speed, down to a lower one, or sample them more finely',
    () => fitCoastdown(runs.pairs, mass),
  );
  const result: FittedCoastdown = {
    files: [...files, ...back],
    mass,
    runs,
    fit,
    reference: referenceOf(options, fit.force),
  };
  await printFit(
    {
      sheet: () => coastdownSheet(result),
      text: () => coastdownText(result),
      residuals: () => coastdownResiduals(result),
    },
    options,
  );
}

async function rollingMass({ car, mass, rotatingMass }: CoastdownOptions): Promise<RollingMass> {
  if (car !== undefined) {
    const { value } = await loadCar(car);
    return { mass: value.mass, rotatingMass: value.rotatingMass };
  }
  return { mass: mass!, rotatingMass: rotatingMass ?? ROTATING_MASS_SHARE * mass! };
}

function refuseColumn(tables: readonly MeasuredTable[]): void {
  const table = tables.find(({ labels }) => labels.has('direction'));
  if (table === undefined) return;
  throw new InputError([
    {
      code: 'conflicting-options',
      file: table.file,
      path: 'direction',
      found: 'a column of directions, and `--back`',
      expected: 'one of the two',
      hint: 'leave `--back` out and name all files in a row, or rename the column',
    },
  ]);
}

function referenceOf(
  { temperature, pressure, reference: name }: CoastdownOptions,
  force: FittedCoastdown['fit']['force'],
): FittedCoastdown['reference'] {
  if (temperature === undefined || pressure === undefined) return undefined;
  const weather = { temperature: celsiusToKelvin(temperature), pressure: pressure * KILO };
  return { name, weather, ...toReference(force, weather, REFERENCES[name]) };
}
