import { loadCar } from '../config/load.ts';
import { LITRE } from '../config/units.ts';
import { fitEngine } from '../fit/engine.ts';
import { ENGINE_FORM, pointsOf } from '../fit/engine-points.ts';
import {
  engineResiduals,
  engineSheet,
  engineText,
  type FittedEngine,
} from '../output/fit-engine.ts';
import { FUELS } from '../physics/fuel.ts';
import type { EngineOptions } from './fit-engine.ts';
import { fitted, printFit, readTable } from './fit-print.ts';

/**
 * Reads engine points, fits them and prints what came out.
 * @throws InputError where the points cannot be used
 */
export async function runFitEngine(file: string, options: EngineOptions): Promise<void> {
  const engine = await knownEngine(options);
  const table = await readTable(file, ENGINE_FORM, options);
  const points = pointsOf(table, engine.fuel, engine.displacement);
  const fit = fitted(
    file,
    'efficiency, p0 and p1',
    'spread the points over the whole field of speed and torque',
    () => fitEngine(points, engine.displacement),
  );
  const result: FittedEngine = { file, ...engine, points, fit };
  await printFit(
    {
      sheet: () => engineSheet(result),
      text: () => engineText(result),
      residuals: () => engineResiduals(result),
    },
    options,
  );
}

async function knownEngine({
  car,
  displacement,
  fuel,
}: EngineOptions): Promise<Pick<FittedEngine, 'displacement' | 'fuel' | 'idleSpeed'>> {
  if (car === undefined) {
    return { displacement: displacement! * LITRE, fuel: FUELS[fuel!], idleSpeed: undefined };
  }
  const { engine } = (await loadCar(car)).value;
  return { displacement: engine.displacement, fuel: engine.fuel, idleSpeed: engine.idleSpeed };
}
