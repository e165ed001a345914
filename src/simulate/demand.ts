import { intervalCount, type Trace } from '../cycle/trace.ts';
import { GRAVITY } from '../physics/air.ts';
import { breaksHold, gearByFuel } from '../physics/gear-choice.ts';
import { gearByThresholds, inputSpeedRatio } from '../physics/gearbox.ts';
import { aerodynamicPower, gradeForce, rollingPower } from '../physics/road-load.ts';
import { type Store, type WheelCaps, wheelCaps } from '../physics/store.ts';
import type { Car } from './car.ts';

/** Intervals held at once: enough for any regulated cycle, and flat in memory for a long log. */
const BLOCK = 4096;

/**
 * What the trace asks of the car: everything about an interval that does not depend on the engine
 * or the store, in columns. Filled a block at a time; a trace that fits into one block is computed
 * once and serves every lap. The gear is chosen for the whole demand, as if the store were empty,
 * so that the driver's torque reserve does not hang on the store.
 */
export class Demand {
  readonly time: Float64Array;
  readonly dt: Float64Array;
  readonly speed: Float64Array;
  readonly acceleration: Float64Array;
  /** sin θ of the interval's road */
  readonly sine: Float64Array;
  readonly aerodynamic: Float64Array;
  readonly rolling: Float64Array;
  readonly grade: Float64Array;
  readonly kinetic: Float64Array;
  /** Sum of the four above: power at the wheels */
  readonly wheel: Float64Array;
  readonly gear: Uint8Array;
  /** Gearbox input speed at the start and at the end, in gear [rad/s] */
  readonly inputStart: Float64Array;
  readonly inputEnd: Float64Array;
  readonly recoverCap: Float64Array;
  readonly recoverLimit: Uint8Array;
  readonly assistCap: Float64Array;
  readonly assistLimit: Uint8Array;
  readonly trace: Trace;
  /** Intervals of the whole trace */
  readonly count: number;

  private readonly car: Car;
  private readonly store: Store | undefined;
  private readonly caps: WheelCaps = { recover: 0, recoverLimit: 0, assist: 0, assistLimit: 0 };
  /** Next interval of the trace to be computed, and those now held: [first, filled). */
  private first = 0;
  private filled = 0;
  private currentGear = 1;
  private timeInGear = Number.POSITIVE_INFINITY;

  /**
   * @param car with the store's mass when one is fitted
   * @param store or none
   * @param trace
   * @param held intervals held at once; a solver that goes backwards needs all of them
   */
  constructor(car: Car, store: Store | undefined, trace: Trace, held: number = BLOCK) {
    this.car = car;
    this.store = store;
    this.trace = trace;
    this.count = intervalCount(trace);
    const size = Math.min(this.count, held);
    const column = () => new Float64Array(size);
    this.time = column();
    this.dt = column();
    this.speed = column();
    this.acceleration = column();
    this.sine = column();
    this.aerodynamic = column();
    this.rolling = column();
    this.grade = column();
    this.kinetic = column();
    this.wheel = column();
    this.gear = new Uint8Array(size);
    this.inputStart = column();
    this.inputEnd = column();
    this.recoverCap = column();
    this.recoverLimit = new Uint8Array(size);
    this.assistCap = column();
    this.assistLimit = new Uint8Array(size);
  }

  /**
   * Makes the block that starts at an interval; blocks come in order, from 0 again for a new lap.
   * @param from 0 or the end of the block before
   * @returns number of intervals held; interval `from + i` stands at index i of every column
   */
  block(from: number): number {
    if (from === this.first && this.filled > 0 && this.count === this.filled) return this.filled;
    if (from === 0) {
      this.currentGear = 1;
      this.timeInGear = Number.POSITIVE_INFINITY;
    }
    this.first = from;
    this.filled = Math.min(this.count - from, this.time.length);
    for (let i = 0; i < this.filled; i++) this.fill(from + i, i);
    return this.filled;
  }

  private fill(k: number, i: number): void {
    const { car, store, trace, caps } = this;
    const v1 = trace.speed[k]!;
    const v2 = trace.speed[k + 1]!;
    const dt = trace.time[k + 1]! - trace.time[k]!;
    const speed = 0.5 * (v1 + v2);
    const acceleration = (v2 - v1) / dt;
    const climb = trace.climb[k]!;
    const level = trace.level[k]!;
    const aerodynamic = aerodynamicPower(car.roadLoad, v1, v2);
    const rolling = rollingPower(car.roadLoad, v1, v2, level / dt);
    const grade = speed > 0 ? gradeForce(car.mass, climb / dt, GRAVITY) : 0;
    const kinetic = (car.mass + car.rotatingMass) * acceleration * speed;
    const wheel = aerodynamic + rolling + grade + kinetic;
    const sine = speed > 0 ? climb / (speed * dt) : 0;
    this.time[i] = trace.time[k]!;
    this.dt[i] = dt;
    this.speed[i] = speed;
    this.acceleration[i] = acceleration;
    this.sine[i] = sine;
    this.aerodynamic[i] = aerodynamic;
    this.rolling[i] = rolling;
    this.grade[i] = grade;
    this.kinetic[i] = kinetic;
    this.wheel[i] = wheel;
    const gear = this.chooseGear(speed, wheel, dt);
    const ratio = inputSpeedRatio(car.gearbox, gear, car.tyreRadius);
    this.gear[i] = gear;
    this.inputStart[i] = ratio * v1;
    this.inputEnd[i] = ratio * v2;
    if (store !== undefined) {
      wheelCaps(store, car.axles, car.mass, car.tyreRadius, speed, acceleration, sine, wheel, caps);
      this.recoverCap[i] = caps.recover;
      this.recoverLimit[i] = caps.recoverLimit;
      this.assistCap[i] = caps.assist;
      this.assistLimit[i] = caps.assistLimit;
    }
  }

  private chooseGear(speed: number, wheelPower: number, dt: number): number {
    const { gearbox, engine, tyreRadius } = this.car;
    const { choice } = gearbox;
    const now = this.currentGear;
    let next: number;
    if (choice.by === 'thresholds') next = gearByThresholds(choice, speed, now);
    else if (
      this.timeInGear < choice.minimumTime &&
      !breaksHold(gearbox, choice, engine, now, tyreRadius, speed, wheelPower)
    )
      next = now;
    else next = gearByFuel(gearbox, choice, engine, tyreRadius, speed, wheelPower);
    this.timeInGear = next === now ? this.timeInGear + dt : dt;
    this.currentGear = next;
    return next;
  }
}
