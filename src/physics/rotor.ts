import type { UniformCurve } from './curve.ts';
import type { Chamber, RotorShape } from './windage.ts';

/** The flywheel itself. */
export interface Rotor {
  /** [kg m²] */
  readonly inertia: number;
  /** Working range [rad/s]; below it nothing can be drawn */
  readonly minSpeed: number;
  readonly maxSpeed: number;
  readonly drag: RotorDrag;
}

/**
 * Drag torque over speed: c0 + c1 ω + c2 ω², or a curve made once from bearings and windage.
 * Drag always acts, driving or parked.
 */
export type RotorDrag =
  | { readonly form: 'coefficients'; readonly c0: number; readonly c1: number; readonly c2: number }
  | {
      readonly form: 'curve';
      readonly torque: UniformCurve;
      /** What the curve was computed from, for reports */
      readonly housing?: { readonly shape: RotorShape; readonly chamber: Chamber };
    };

/**
 * Kinetic energy ½ J ω².
 * @param rotor
 * @param speed [rad/s]
 * @returns [J]
 */
export function rotorEnergy(rotor: Rotor, speed: number): number {
  return 0.5 * rotor.inertia * speed * speed;
}

/**
 * Speed that holds an energy.
 * @param rotor
 * @param energy [J]
 * @returns [rad/s]
 */
export function rotorSpeed(rotor: Rotor, energy: number): number {
  return Math.sqrt((2 * energy) / rotor.inertia);
}

/**
 * Drag torque of the turning rotor.
 * @param rotor
 * @param speed [rad/s]
 * @returns [N m], never negative
 */
export function dragTorque(rotor: Rotor, speed: number): number {
  const drag = rotor.drag;
  if (drag.form === 'coefficients') return drag.c0 + speed * (drag.c1 + speed * drag.c2);
  return drag.torque.at(speed);
}

/** What the rotor did over an interval; written by the functions below, made once and used again. */
export interface RotorMotion {
  /** Speed at the end [rad/s] */
  endSpeed: number;
  /** Mean speed that the drag and the clutch saw [rad/s] */
  meanSpeed: number;
  /** Energy lost to drag [J] */
  dragLoss: number;
}

/** A motion with every field set. */
export function newRotorMotion(): RotorMotion {
  return { endSpeed: 0, meanSpeed: 0, dragLoss: 0 };
}

/**
 * Rotor under a constant torque (slipping clutch, or none) for an interval, second order: the drag
 * at the start predicts the mean speed, the drag at that mean speed does the work.
 * @param rotor
 * @param startSpeed [rad/s]
 * @param torque positive spins it up [N m]
 * @param dt [s]
 * @param motion result
 */
export function turnByTorque(
  rotor: Rotor,
  startSpeed: number,
  torque: number,
  dt: number,
  motion: RotorMotion,
): void {
  const push = dt / rotor.inertia;
  const predicted = startSpeed + 0.5 * push * (torque - dragTorque(rotor, startSpeed));
  const drag = predicted > 0 ? dragTorque(rotor, predicted) : dragTorque(rotor, 0.5 * startSpeed);
  const end = startSpeed + push * (torque - drag);
  if (end >= 0) {
    motion.endSpeed = end;
    motion.meanSpeed = 0.5 * (startSpeed + end);
    motion.dragLoss = drag * motion.meanSpeed * dt;
  } else {
    // Dry friction brings it to rest within the interval and cannot turn it backwards.
    motion.endSpeed = 0;
    motion.meanSpeed = 0.5 * startSpeed;
    motion.dragLoss = rotorEnergy(rotor, startSpeed) + torque * motion.meanSpeed * dt;
  }
}

/**
 * Rotor under a constant power (locked clutch) for an interval, second order as above.
 * @param rotor
 * @param startSpeed [rad/s]
 * @param power positive stores [W]
 * @param dt [s]
 * @param motion result
 */
export function turnByPower(
  rotor: Rotor,
  startSpeed: number,
  power: number,
  dt: number,
  motion: RotorMotion,
): void {
  const energy = rotorEnergy(rotor, startSpeed) + power * dt;
  const predictedEnd = rotorSpeed(
    rotor,
    Math.max(0, energy - dragTorque(rotor, startSpeed) * startSpeed * dt),
  );
  const mean = 0.5 * (startSpeed + predictedEnd);
  const loss = Math.min(dragTorque(rotor, mean) * mean * dt, energy);
  motion.endSpeed = rotorSpeed(rotor, energy - loss);
  motion.meanSpeed = mean;
  motion.dragLoss = loss;
}
