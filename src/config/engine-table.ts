import { Table } from '../physics/curve.ts';
import { EngineMap } from '../physics/engine.ts';
import type { Fuel } from '../physics/fuel.ts';
import type { CarFile } from './car-file.ts';
import { type Grid, type GridForm, type GridReader, readGrid } from './grid-file.ts';
import { InputError } from './problem.ts';
import { BAR, GRAM, GRAM_PER_KWH, LITRE, rpmToRadPerS } from './units.ts';

/** Fuel per work below which an engine would be better than its fuel [g/kWh]. */
const LEAST_BSFC = 100;

/** In a table in the wrong unit every point fails: so many are enough to see it. */
const MOST_NAMED = 3;

const FORM: GridForm = {
  what: 'an engine table',
  x: { header: 'speed_rpm', min: 1, max: 20_000, why: 'speeds of a turning engine, in 1/min' },
  y: { header: 'torque_Nm', min: -1000, max: 10_000, why: 'torques of road vehicle engines' },
  z: [
    { header: 'fuel_g_per_s', min: 0, max: 1000, why: 'a fuel flow, never negative' },
    {
      header: 'bsfc_g_per_kWh',
      min: LEAST_BSFC,
      max: 20_000,
      why: `below ${LEAST_BSFC} g/kWh an engine would be better than its fuel`,
    },
  ],
  check(file, grid) {
    if (grid.zHeader === 'fuel_g_per_s') refuseFreeWork(file, grid);
    else refuseIdlePoints(file, grid);
  },
};

/**
 * Reads an engine table and holds it against the engine that it belongs to.
 *
 * @param file path as it is to be shown and opened
 * @param engine of the car file
 * @param read reads the table
 * @throws InputError with every problem of the file
 */
export function readEngineTable(
  file: string,
  engine: CarFile['engine'],
  read: GridReader = readGrid,
): Grid {
  const grid = read(file, FORM);
  const lowest = grid.y[0]!;
  const drag = leastDragTorque(engine);
  if (lowest <= -drag) {
    throw new InputError([
      {
        code: 'inconsistent',
        file,
        path: 'torque_Nm',
        found: String(lowest),
        expected: `torques above ${Number((-drag).toPrecision(4))} N m, where the friction of the car file alone drags the engine and no fuel is burned`,
        hint: 'leave those rows out, or mend engine.friction',
      },
    ]);
  }
  return grid;
}

/** A consumption is fuel over work, of which there is none without torque. */
function refuseIdlePoints(file: string, { y }: Grid): void {
  const lowest = y[0]!;
  if (lowest > 0) return;
  throw new InputError([
    {
      code: 'inconsistent',
      file,
      path: 'torque_Nm',
      found: String(lowest),
      expected: 'torques above 0, where fuel per work has a meaning',
      hint: 'give the fuel at no load and in overrun as fuel_g_per_s, or leave those rows out',
    },
  ]);
}

/** A flow is held to the same least fuel per work as a consumption; the first points that fail are named. */
function refuseFreeWork(file: string, { x, y, z }: Grid): void {
  const problems = z.flatMap((flow, index) => {
    const speed = x[Math.floor(index / y.length)]!;
    const torque = y[index % y.length]!;
    const least = (LEAST_BSFC * GRAM_PER_KWH * rpmToRadPerS(speed) * torque) / GRAM;
    if (flow >= least) return [];
    return {
      code: 'out-of-range',
      file,
      path: `fuel_g_per_s at ${speed} 1/min and ${torque} N m`,
      found: String(flow),
      expected: `${Number(least.toPrecision(4))} g/s at least: below ${LEAST_BSFC} g/kWh an engine would be better than its fuel`,
      hint: 'is the flow in g/s, and not in kg/s or L/h?',
    };
  });
  if (problems.length > 0) throw new InputError(problems.slice(0, MOST_NAMED));
}

/** Least friction torque over the speed range [N m]: the friction pressure rises with speed. */
function leastDragTorque({ friction, displacement_L, idle_speed_rpm }: CarFile['engine']): number {
  const pressure = friction.p0_bar + (friction.p1_bar_per_1000rpm * idle_speed_rpm) / 1000;
  return (pressure * BAR * displacement_L * LITRE) / (4 * Math.PI);
}

/**
 * The map of a table, in watts of fuel.
 *
 * @param grid as read
 * @param fuel whose heating value makes power of a flow
 */
export function engineMap(grid: Grid, fuel: Fuel): EngineMap {
  const perWork = grid.zHeader === 'bsfc_g_per_kWh';
  const speeds = grid.x.map(rpmToRadPerS);
  const power = grid.z.map((value, index) => {
    if (!perWork) return value * GRAM * fuel.heatingValue;
    const speed = speeds[Math.floor(index / grid.y.length)]!;
    const torque = grid.y[index % grid.y.length]!;
    return value * GRAM_PER_KWH * fuel.heatingValue * speed * torque;
  });
  return new EngineMap(new Table(speeds, grid.y, power));
}
