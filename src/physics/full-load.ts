import { type AxleName, type Axles, axleLoad } from './axle.ts';
import type { Engine } from './engine.ts';
import { type Gearbox, inputSpeedRatio } from './gearbox.ts';

/** The axle or axles that the engine drives. */
export type DrivenAxle = AxleName | 'both';

/** What the engine does to the wheels at full load; written in place, made once. */
export interface Pull {
  /** At the wheels while the engine's speed is held [N], never negative */
  force: number;
  /** What spinning the engine up takes of it for each m/s² of the car, once nothing slips [kg] */
  inertia: number;
  /** [rad/s] */
  engineSpeed: number;
  inputSpeed: number;
}

/** A pull with every field set. */
export function newPull(): Pull {
  return { force: 0, inertia: 0, engineSpeed: 0, inputSpeed: 0 };
}

/**
 * Pull at full load in a gear:
 *   F = η i (T_full(ω) − P_acc / ω − T_drag), and η i² J for each m/s² while the clutch is locked,
 * with i = ω_input / v. Below the launch speed the launch device slips: the engine turns at that
 * speed and its torque passes 1:1. A converter raises the torque meanwhile; that is left out.
 * @param engine
 * @param gearbox
 * @param tyreRadius [m]
 * @param accessories power from the engine's shaft to the alternator [W]
 * @param launchSpeed of the engine, held while the launch device slips [rad/s]
 * @param gear from 1
 * @param speed of the car [m/s]
 * @param pull result
 */
export function fullLoadPull(
  engine: Engine,
  gearbox: Gearbox,
  tyreRadius: number,
  accessories: number,
  launchSpeed: number,
  gear: number,
  speed: number,
  pull: Pull,
): void {
  const ratio = inputSpeedRatio(gearbox, gear, tyreRadius);
  const efficiency = gearbox.efficiency[gear - 1]! * gearbox.finalDriveEfficiency;
  const input = ratio * speed;
  const turning = Math.max(input, launchSpeed);
  const torque = engine.fullLoad.at(turning) - accessories / turning - gearbox.dragTorque;
  pull.inputSpeed = input;
  pull.engineSpeed = turning;
  pull.force = torque > 0 ? efficiency * ratio * torque : 0;
  pull.inertia = efficiency * ratio * ratio * engine.inertia;
}

/**
 * Greatest force that the driven tyres pass on: μ times the load of their axle, with load transfer.
 * Driven on both, each axle is taken to get the share that it can pass on.
 * @param axles weight distribution
 * @param driven
 * @param adhesion μ
 * @param mass of the car [kg]
 * @param acceleration [m/s²]
 * @param sine sin θ of the road
 * @returns [N]
 */
export function tractionLimit(
  axles: Axles,
  driven: DrivenAxle,
  adhesion: number,
  mass: number,
  acceleration: number,
  sine: number,
): number {
  if (driven !== 'both') return adhesion * axleLoad(axles, driven, mass, acceleration, sine);
  return (
    adhesion *
    (axleLoad(axles, 'front', mass, acceleration, sine) +
      axleLoad(axles, 'rear', mass, acceleration, sine))
  );
}

/**
 * Highest speed that a gear permits.
 * @returns [m/s]
 */
export function topSpeedOfGear(
  engine: Engine,
  gearbox: Gearbox,
  tyreRadius: number,
  gear: number,
): number {
  return engine.maxSpeed / inputSpeedRatio(gearbox, gear, tyreRadius);
}

/** Points between rest and the top speed of a gear at which the next gear is compared with it. */
const COMPARED = 512;
/** Halvings of the interval in which the two forces cross: enough for a double. */
const HALVINGS = 50;

/**
 * Speeds at which a driver in a hurry changes up: where the next gear first gives more force at the
 * wheels, or at the engine's greatest speed. Where the next gear could not hold that speed, the gear
 * is never left.
 * @param force of a gear at a speed, at full load [N]
 * @param top highest speed of each gear [m/s]
 * @param resistance at a speed [N]
 * @returns for each gear the speed at which it is left for the next [m/s]; Infinity where it is not
 */
export function changeUpSpeeds(
  force: (gear: number, speed: number) => number,
  top: ArrayLike<number>,
  resistance: (speed: number) => number,
): Float64Array {
  return Float64Array.from(top, (limit, index) => {
    const gear = index + 1;
    if (gear === top.length) return Number.POSITIVE_INFINITY;
    const gains = (speed: number) => force(gear + 1, speed) > force(gear, speed);
    for (let k = 0; k <= COMPARED; k++) {
      const speed = (limit * k) / COMPARED;
      if (gains(speed)) return k === 0 ? 0 : crossing(gains, (limit * (k - 1)) / COMPARED, speed);
    }
    return force(gear + 1, limit) > resistance(limit) ? limit : Number.POSITIVE_INFINITY;
  });
}

function crossing(isBeyond: (speed: number) => boolean, from: number, to: number): number {
  let low = from;
  let high = to;
  for (let i = 0; i < HALVINGS; i++) {
    const middle = 0.5 * (low + high);
    if (isBeyond(middle)) high = middle;
    else low = middle;
  }
  return high;
}
