import { gearByFuel } from '../physics/gear-choice.ts';
import { gearByThresholds } from '../physics/gearbox.ts';
import { LIMIT } from '../physics/limit.ts';
import {
  carry,
  newEnvelope,
  newTransfer,
  type Store,
  storeEnvelope,
  type WheelCaps,
  wheelCaps,
  worthRecovering,
} from '../physics/store.ts';
import type { Car } from './car.ts';
import { SprintForces } from './sprint-forces.ts';

/** How a drive at constant speed ended. */
export interface SteadyDrive {
  /** [s] */
  readonly time: number;
  /** What ended it, index into LIMITS; `none` where the time ran out */
  readonly limit: number;
  /** Whether the store got to the end of its working range */
  readonly done: boolean;
}

/** Longest drive at constant speed [s]. */
export const LONGEST_STEADY = 3600;
/** Interval [s]; the last one is cut to the instant at which the store ends. */
const STEP = 0.1;
/** Halvings of the last interval. */
const HALVINGS = 50;

/**
 * Drives at constant speed with the engine off, the store giving what the road asks for, until it
 * has no more to give. Electrics draw on the battery meanwhile.
 * @param car with the store's mass
 * @param store
 * @param sine sin θ of the road
 * @param speed [m/s]
 * @param rotorSpeed at the start [rad/s]
 */
export function driveOnStore(
  car: Car,
  store: Store,
  sine: number,
  speed: number,
  rotorSpeed: number,
): SteadyDrive {
  const road = new SprintForces(car, undefined, 0).road(speed, sine) * speed;
  if (road <= 0) return { time: LONGEST_STEADY, limit: LIMIT.none, done: false };
  return new SteadyStore(car, store, sine, speed).run(rotorSpeed, road, 1);
}

/**
 * Recharges the store at constant speed by the engine, at full load in the gear that the car's own
 * choice has for that speed: the shortest time there is, not what a strategy would take.
 * @param car with the store's mass
 * @param store
 * @param sine sin θ of the road
 * @param speed [m/s]
 * @param rotorSpeed at the start [rad/s]
 */
export function recharge(
  car: Car,
  store: Store,
  sine: number,
  speed: number,
  rotorSpeed: number,
): SteadyDrive {
  const forces = new SprintForces(car, undefined, 0);
  const road = forces.road(speed, sine) * speed;
  const gear = cruisingGear(car, speed, road);
  const spare = forces.pullInGear(gear, speed) * speed - road;
  if (spare <= 0) return { time: 0, limit: LIMIT.none, done: false };
  return new SteadyStore(car, store, sine, speed).run(rotorSpeed, spare, -1);
}

/** The gear of the car's own choice, reached from the first. */
function cruisingGear(car: Car, speed: number, wheelPower: number): number {
  const { gearbox, engine, tyreRadius } = car;
  const { choice } = gearbox;
  return choice.by === 'thresholds'
    ? gearByThresholds(choice, speed, 1)
    : gearByFuel(gearbox, choice, engine, tyreRadius, speed, wheelPower);
}

/** A store at a constant axle speed. */
class SteadyStore {
  private readonly store: Store;
  private readonly axleSpeed: number;
  private readonly caps: WheelCaps = { recover: 0, recoverLimit: 0, assist: 0, assistLimit: 0 };
  private readonly envelope = newEnvelope();
  private readonly transfer = newTransfer();

  constructor(car: Car, store: Store, sine: number, speed: number) {
    this.store = store;
    this.axleSpeed = speed / car.tyreRadius;
    const { axles, mass, tyreRadius } = car;
    wheelCaps(store, axles, mass, tyreRadius, speed, 0, sine, store.powerLimit, this.caps);
  }

  /**
   * @param from rotor speed at the start [rad/s]
   * @param power at the wheel: all of it assisting, up to it recovering [W]
   * @param sign 1 assists, −1 recovers
   */
  run(from: number, power: number, sign: 1 | -1): SteadyDrive {
    let rotorSpeed = from;
    const { recover, assist, assistLimit } = this.caps;
    if (sign > 0 && assist < power) return { time: 0, limit: assistLimit, done: false };
    const wanted = sign > 0 ? power : Math.min(power, recover);
    for (let k = 0; k * STEP < LONGEST_STEADY; k++) {
      let dt = STEP;
      const limit = this.lookFor(rotorSpeed, dt, wanted, sign);
      if (limit !== LIMIT.none) {
        dt = this.lastPart(rotorSpeed, wanted, sign);
        const done = limit === (sign > 0 ? LIMIT.empty : LIMIT.full);
        return { time: k * STEP + dt, limit, done };
      }
      carry(this.store, this.envelope, sign * wanted, rotorSpeed, dt, this.transfer);
      if (sign < 0 && this.transfer.endSpeed <= rotorSpeed) {
        return { time: k * STEP, limit: LIMIT.spinLoss, done: false };
      }
      rotorSpeed = this.transfer.endSpeed;
    }
    return { time: LONGEST_STEADY, limit: LIMIT.none, done: false };
  }

  /** What keeps the store from carrying a power for an interval; `none` where nothing does. */
  private lookFor(rotorSpeed: number, dt: number, wanted: number, sign: 1 | -1): number {
    const { store, envelope, caps } = this;
    storeEnvelope(store, rotorSpeed, this.axleSpeed, dt, caps, wanted, envelope);
    if (sign > 0) return envelope.assist < wanted ? envelope.assistLimit : LIMIT.none;
    if (envelope.recover < wanted) return envelope.recoverLimit;
    return worthRecovering(store, envelope, wanted) ? LIMIT.none : LIMIT.spinLoss;
  }

  /** Part of the last interval in which the store still carries the power [s]. */
  private lastPart(rotorSpeed: number, wanted: number, sign: 1 | -1): number {
    let low = 0;
    let high = STEP;
    for (let i = 0; i < HALVINGS; i++) {
      const middle = 0.5 * (low + high);
      if (this.lookFor(rotorSpeed, middle, wanted, sign) === LIMIT.none) low = middle;
      else high = middle;
    }
    return low;
  }
}
