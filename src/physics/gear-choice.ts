import { type Engine, frictionPower, fuelPower } from './engine.ts';
import { type Gearbox, type GearChoice, inputSpeedRatio } from './gearbox.ts';

/**
 * Gear that burns least for a wheel power, among the gears that keep the engine within its speed
 * range and leave the torque reserve. In overrun the highest gear within the range. When no gear
 * leaves the reserve, the one with the most power. When no gear is within the range, the highest in
 * which the engine is not too slow (the top gear above the range of them all, the faster engine
 * between the ranges of two gears); below the range of every gear, the first.
 * Accessories and rotating inertia are left out of the comparison: they differ little between gears.
 * @param gearbox
 * @param choice least-fuel rule
 * @param engine
 * @param tyreRadius [m]
 * @param speed mean road speed [m/s]
 * @param wheelPower demand at the wheels [W]
 * @returns gear, from 1
 */
export function gearByFuel(
  gearbox: Gearbox,
  choice: Extract<GearChoice, { by: 'least-fuel' }>,
  engine: Engine,
  tyreRadius: number,
  speed: number,
  wheelPower: number,
): number {
  let best = 0;
  let bestFuel = Number.POSITIVE_INFINITY;
  let strongest = 1;
  let strongestPower = Number.NEGATIVE_INFINITY;
  for (let gear = 1; gear <= gearbox.ratios.length; gear++) {
    const engineSpeed = inputSpeedRatio(gearbox, gear, tyreRadius) * speed;
    if (engineSpeed < choice.minSpeed) continue;
    if (engineSpeed > choice.maxSpeed) {
      strongest = gear; // gears run from fast to slow: any within the range comes later
      continue;
    }
    const efficiency = gearbox.efficiency[gear - 1]! * gearbox.finalDriveEfficiency;
    const brake = (wheelPower > 0 ? wheelPower / efficiency : 0) + gearbox.dragTorque * engineSpeed;
    const full = engine.fullLoad.at(engineSpeed) * engineSpeed;
    const power = (full - gearbox.dragTorque * engineSpeed) * efficiency;
    if (power > strongestPower) {
      strongestPower = power;
      strongest = gear;
    }
    if (brake > full * (1 - choice.torqueReserve)) continue;
    const friction = frictionPower(engine, engineSpeed);
    const fuel = wheelPower > 0 ? fuelPower(engine, engineSpeed, brake, friction, friction) : -gear;
    if (fuel < bestFuel) {
      bestFuel = fuel;
      best = gear;
    }
  }
  return best > 0 ? best : strongest;
}

/**
 * Whether a gear cannot be held even for its minimum time: the engine would leave its permitted
 * speed range, or could not give what the wheels ask at full load (kickdown).
 * @param gearbox
 * @param choice least-fuel rule
 * @param engine
 * @param gear from 1
 * @param tyreRadius [m]
 * @param speed mean road speed [m/s]
 * @param wheelPower demand at the wheels [W]
 */
export function breaksHold(
  gearbox: Gearbox,
  choice: Extract<GearChoice, { by: 'least-fuel' }>,
  engine: Engine,
  gear: number,
  tyreRadius: number,
  speed: number,
  wheelPower: number,
): boolean {
  const engineSpeed = inputSpeedRatio(gearbox, gear, tyreRadius) * speed;
  if (engineSpeed > choice.maxSpeed) return true;
  if (gear === 1) return false;
  const efficiency = gearbox.efficiency[gear - 1]! * gearbox.finalDriveEfficiency;
  const torque = engine.fullLoad.at(engineSpeed) - gearbox.dragTorque;
  return engineSpeed < choice.minSpeed || wheelPower > torque * engineSpeed * efficiency;
}
