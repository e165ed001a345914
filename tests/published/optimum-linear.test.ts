/**
 * A road on which the least fuel is a linear program, solved by an independent solver (HiGHS). The
 * engine is affine and costs nothing but its work, the store has constant efficiencies.
 */
import * as highs from 'highs';
import { describe, expect, it } from 'vitest';
import { findBound } from '../../src/optimum/bound.ts';
import { rotorEnergy } from '../../src/physics/rotor.ts';
import type { Store } from '../../src/physics/store.ts';
import { type Car, fitStore } from '../../src/simulate/car.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { cycleNamed } from '../fixtures.ts';
import { linearCar, linearStore } from '../optimum/plain-road.ts';
import { expectWithin } from '../within.ts';

const KILO = 1e3;

/** The package's types know its form for `require`, where the loader lies one level further down. */
const loadSolver = highs.default as unknown as typeof highs.default.default;

/**
 * The linear program: assist a, recovery r (from braking, or from the engine while driving) and stored
 * energy x of each interval; x decays with the drag, and ends no lower than it began. Powers in kW,
 * energies in kJ.
 */
function linearProgram(car: Car, store: Store, demand: Demand): string {
  const { rotor, losses } = store;
  if (losses.form !== 'efficiency' || rotor.drag.form !== 'coefficients')
    throw new Error('not linear');
  const pass = 1 - losses.share;
  const cost: string[] = [];
  const rows: string[] = [];
  const bounds: string[] = [];
  const most = rotorEnergy(rotor, rotor.maxSpeed) / KILO;
  const least = rotorEnergy(rotor, rotor.minSpeed) / KILO;
  for (let k = 0; k < demand.count; k++) {
    const dt = demand.dt[k]!;
    const wheel = demand.wheel[k]! / KILO;
    // dE/dt = −2 c1/J E without load; with load the mean of it is kept.
    const decay = Math.exp((-2 * rotor.drag.c1 * dt) / rotor.inertia);
    const held = Math.sqrt(decay) * dt;
    rows.push(
      `e${k}: x${k + 1} - ${decay} x${k} - ${pass * held} r${k} + ${held / pass} a${k} = 0`,
    );
    const driving = wheel > 0;
    const moving = demand.speed[k]! > 0;
    const assist = driving ? Math.min(demand.assistCap[k]! / KILO, wheel) : 0;
    const recover = moving ? demand.recoverCap[k]! / KILO : 0;
    bounds.push(`0 <= a${k} <= ${assist}`, `0 <= r${k} <= ${recover}`);
    if (driving) {
      const engine =
        car.gearbox.efficiency[demand.gear[k]! - 1]! * car.gearbox.finalDriveEfficiency;
      cost.push(`+ ${dt / engine} r${k} - ${dt / engine} a${k}`);
    }
  }
  for (let k = 0; k <= demand.count; k++) bounds.push(`${least} <= x${k} <= ${most}`);
  rows.push(`lap: x${demand.count} - x0 >= 0`);
  return `Minimize\n work: ${cost.join('\n ')}\nSubject To\n ${rows.join('\n ')}\nBounds\n ${bounds.join('\n ')}\nEnd\n`;
}

/**
 * A store whose working range goes down to next to nothing: the program keeps the rotor within it, which
 * drag need not do. In a narrower range a lap is found below the program's, by 0.3 % on hwfet.
 */
const wideStore: Store = { ...linearStore, rotor: { ...linearStore.rotor, minSpeed: 60 } };

/** Fuel energy of the program's optimum [J]. */
async function leastFuel(car: Car, store: Store, demand: Demand): Promise<number> {
  const { fuelUse } = car.engine;
  if (fuelUse.form !== 'affine') throw new Error('not linear');
  const solver = await loadSolver();
  const { Status, ObjectiveValue } = solver.solve(linearProgram(car, store, demand));
  expect(Status).toBe('Optimal');
  let work = ObjectiveValue * KILO;
  for (let k = 0; k < demand.count; k++) {
    const wheel = demand.wheel[k]!;
    if (wheel <= 0) continue;
    const engine = car.gearbox.efficiency[demand.gear[k]! - 1]! * car.gearbox.finalDriveEfficiency;
    work += (wheel / engine) * demand.dt[k]!;
  }
  return work / fuelUse.efficiency;
}

describe('a road without fixed costs', () => {
  it.each(['nycc', 'udds', 'hwfet'])(
    'has the bound that a linear program has, on %s',
    async (name) => {
      const car = fitStore(linearCar, wideStore);
      const trace = cycleNamed(name);
      const demand = new Demand(car, wideStore, trace);
      demand.block(0);
      const expected = await leastFuel(car, wideStore, demand);
      const { fuel, run } = findBound(car, wideStore, trace, 1);
      expectWithin(fuel, expected, 1e-3);
      // The program takes the mean of what drag leaves within an interval.
      expect(fuel).toBeGreaterThan((1 - 5e-4) * expected);
      expect(run.ledger.storeChange).toBeGreaterThanOrEqual(0);
      expect(run.ledger.shortfall).toBe(0);
    },
  );
});
