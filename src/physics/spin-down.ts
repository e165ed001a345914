import { dragTorque, newRotorMotion, type Rotor, rotorEnergy, turnByTorque } from './rotor.ts';

/** A point of a spin-down. */
export interface SpinDownPoint {
  /** [s] */
  readonly time: number;
  /** [rad/s] */
  readonly speed: number;
  /** [W] */
  readonly dragPower: number;
}

/** A rotor left to itself from its greatest speed. */
export interface SpinDown {
  /** Until half of its energy is gone [s]; undefined without drag */
  readonly halfLife: number | undefined;
  /** Until it is at the bottom of its working range [s] */
  readonly toMinimum: number | undefined;
  /** Down to the lower of the two */
  readonly points: readonly SpinDownPoint[];
}

/** Share of the energy that a step loses about. */
const SHARE = 1 / 400;

/**
 * Spin-down from the greatest speed, disengaged: drag alone acts. Steps follow the energy over the
 * drag power of the moment, so that seconds and days take about as many.
 * @param rotor
 */
export function spinDown(rotor: Rotor): SpinDown {
  const full = rotorEnergy(rotor, rotor.maxSpeed);
  const half = rotor.maxSpeed * Math.SQRT1_2;
  const points: SpinDownPoint[] = [];
  const motion = newRotorMotion();
  let time = 0;
  let speed = rotor.maxSpeed;
  let halfLife: number | undefined;
  let toMinimum: number | undefined;
  const end = Math.min(half, rotor.minSpeed);
  for (;;) {
    const dragPower = dragTorque(rotor, speed) * speed;
    points.push({ time, speed, dragPower });
    if (speed <= end || !(dragPower > 0)) break;
    const dt = (SHARE * Math.max(rotorEnergy(rotor, speed), SHARE * full)) / dragPower;
    turnByTorque(rotor, speed, 0, dt, motion);
    const passed = (mark: number): number | undefined =>
      speed > mark && motion.endSpeed <= mark
        ? time + (dt * (speed - mark)) / (speed - motion.endSpeed)
        : undefined;
    halfLife ??= passed(half);
    toMinimum ??= passed(rotor.minSpeed);
    time += dt;
    speed = motion.endSpeed;
  }
  return { halfLife, toMinimum, points };
}
