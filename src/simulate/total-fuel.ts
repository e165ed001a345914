import { type Engine, frictionPower, fuelPower } from '../physics/engine.ts';
import type { Car } from './car.ts';
import type { Run } from './run.ts';

/** Step of the numerical derivative, over the brake power it is taken at. */
const DERIVATIVE_STEP = 0.01;

/** A usual load of an engine: its speed over idle, its torque over the full load there. */
const USUAL_SPEED = 2;
const USUAL_LOAD = 0.25;

/**
 * Fuel that one more joule at the engine's shaft costs, at the mean point of a run. The inverse of
 * the efficiency of an affine engine; a central difference for any other, taken at idle when the
 * engine never ran.
 * @param car
 * @param run whose mean engine speed and brake power are the point
 * @returns J of fuel for each J of shaft work
 */
export function marginalFuel(car: Car, run: Run): number {
  const { engine } = car;
  if (engine.fuelUse.form === 'affine') return 1 / engine.fuelUse.efficiency;
  const ran = run.ledger.engineOnTime > 0;
  const speed = ran ? run.ledger.meanEngineSpeed : engine.idleSpeed;
  const brake = ran ? run.ledger.meanEngineBrake : 0;
  return marginalFuelAt(engine, speed, brake);
}

/**
 * The same before any run is known, at a load that is usual on the road: twice the idle speed and a
 * quarter of the full load there.
 * @returns J of fuel for each J of shaft work
 */
export function usualMarginalFuel(engine: Engine): number {
  if (engine.fuelUse.form === 'affine') return 1 / engine.fuelUse.efficiency;
  const speed = USUAL_SPEED * engine.idleSpeed;
  return marginalFuelAt(engine, speed, USUAL_LOAD * engine.fullLoad.at(speed) * speed);
}

/** Central difference of the fuel over the brake power. */
function marginalFuelAt(engine: Engine, speed: number, brake: number): number {
  const friction = frictionPower(engine, speed);
  const step = DERIVATIVE_STEP * (brake + friction);
  const fuel = (power: number) => fuelPower(engine, speed, power, friction, friction);
  return (fuel(brake + step) - fuel(brake - step)) / (2 * step);
}

/**
 * Fuel charged for what the battery is owed at the end of a run, at the engine's own marginal cost
 * through the alternator; negative when a debt from before was paid back.
 * @returns [J]
 */
export function debtFuel(car: Car, run: Run): number {
  const debt = run.ledger.debtChange;
  if (debt === 0) return 0;
  return (debt / car.electrics.alternatorEfficiency) * marginalFuel(car, run);
}

/** Fuel energy of a run with the battery's debt charged [J]. */
export function totalFuel(car: Car, run: Run): number {
  return run.ledger.fuel + debtFuel(car, run);
}
