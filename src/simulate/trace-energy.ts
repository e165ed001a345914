import { intervalCount, type Trace } from '../cycle/trace.ts';
import { GRAVITY } from '../physics/air.ts';
import { aerodynamicPower, gradeForce, rollingPower } from '../physics/road-load.ts';
import type { Car } from './car.ts';

/**
 * Energy at the wheels that a trace asks of a car, before engine, store and brakes; and how much of
 * its braking a store without losses could give back.
 */

/** Work at the wheels over a trace [J]. The parts are net; traction − braking is their sum. */
export interface TraceEnergy {
  /** Of the intervals in which the wheels are driven. */
  readonly traction: number;
  /** Of the intervals in which they are braked, as a positive number. */
  readonly braking: number;
  readonly aerodynamic: number;
  readonly rolling: number;
  /** Against gravity; what comes back downhill is taken off. */
  readonly grade: number;
  /** Kinetic energy at the end less that at the start, wheels included. */
  readonly kinetic: number;
}

/**
 * Work at the wheels over a trace.
 *
 * @param trace the drive
 * @param car with its mass as it is
 */
export function traceEnergy(trace: Trace, car: Car): TraceEnergy {
  const sums = { traction: 0, braking: 0, aerodynamic: 0, rolling: 0, grade: 0, kinetic: 0 };
  const power = newPower();
  for (let k = 0; k < intervalCount(trace); k++) {
    const dt = trace.time[k + 1]! - trace.time[k]!;
    wheelPower(trace, car, k, power);
    sums.aerodynamic += power.aerodynamic * dt;
    sums.rolling += power.rolling * dt;
    sums.grade += power.grade * dt;
    sums.kinetic += power.kinetic * dt;
    if (power.wheel > 0) sums.traction += power.wheel * dt;
    else sums.braking -= power.wheel * dt;
  }
  return sums;
}

/** What a store without losses makes of the braking of a trace. Energies at the wheel [J]. */
export interface IdealStore {
  /** All braking. */
  readonly braking: number;
  /** Taken by the store … */
  readonly taken: number;
  /** … over all braking; 0 if the car never brakes. */
  readonly share: number;
  /** Refused because the store was full. */
  readonly full: number;
  /** Refused because the store takes no more power. */
  readonly overPower: number;
  /** Given back to the wheels. */
  readonly given: number;
  /** Still stored at the end. */
  readonly left: number;
}

/**
 * The share of a car's braking that an ideal store could take: no losses, no limit but its energy and
 * its power, the same power in both directions, whatever the speed. It starts empty, takes all it can
 * while the car brakes, and gives all it can as soon as the wheels are driven, so that it has room
 * for the next stop. No store of that energy and power that is emptied by driving alone takes more.
 *
 * @param trace the drive
 * @param car with its mass as it is
 * @param energy that the store holds [J]
 * @param power at the wheel, taking and giving [W]
 */
export function idealStoreShare(trace: Trace, car: Car, energy: number, power: number): IdealStore {
  const sums = { braking: 0, taken: 0, full: 0, overPower: 0, given: 0 };
  const demand = newPower();
  let stored = 0;
  for (let k = 0; k < intervalCount(trace); k++) {
    const dt = trace.time[k + 1]! - trace.time[k]!;
    wheelPower(trace, car, k, demand);
    if (demand.wheel > 0) {
      const given = Math.min(demand.wheel * dt, power * dt, stored);
      stored -= given;
      sums.given += given;
      continue;
    }
    const braking = -demand.wheel * dt;
    const offered = Math.min(braking, power * dt);
    const taken = Math.min(offered, energy - stored);
    stored += taken;
    sums.braking += braking;
    sums.taken += taken;
    sums.overPower += braking - offered;
    sums.full += offered - taken;
  }
  const share = sums.braking > 0 ? sums.taken / sums.braking : 0;
  return { ...sums, share, left: stored };
}

/** Mean powers at the wheels in an interval [W]. */
interface WheelPower {
  aerodynamic: number;
  rolling: number;
  grade: number;
  kinetic: number;
  /** Their sum: positive drives the wheels, negative brakes them. */
  wheel: number;
}

function newPower(): WheelPower {
  return { aerodynamic: 0, rolling: 0, grade: 0, kinetic: 0, wheel: 0 };
}

/** The demand of an interval, with the same road load as a run: exact means of a linear speed. */
function wheelPower(trace: Trace, car: Car, k: number, power: WheelPower): void {
  const v1 = trace.speed[k]!;
  const v2 = trace.speed[k + 1]!;
  const dt = trace.time[k + 1]! - trace.time[k]!;
  const speed = 0.5 * (v1 + v2);
  power.aerodynamic = aerodynamicPower(car.roadLoad, v1, v2);
  power.rolling = rollingPower(car.roadLoad, v1, v2, trace.level[k]! / dt);
  power.grade = speed > 0 ? gradeForce(car.mass, trace.climb[k]! / dt, GRAVITY) : 0;
  power.kinetic = ((car.mass + car.rotatingMass) * (v2 - v1) * speed) / dt;
  power.wheel = power.aerodynamic + power.rolling + power.grade + power.kinetic;
}
