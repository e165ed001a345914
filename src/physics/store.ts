import { type AxleName, type Axles, axleLoad } from './axle.ts';
import { LIMIT } from './limit.ts';
import {
  dragTorque,
  type Rotor,
  type RotorMotion,
  rotorEnergy,
  turnByPower,
  turnByTorque,
} from './rotor.ts';
import {
  type Coupling,
  couple,
  lossShare,
  spinLoss,
  type Transmission,
  type TransmissionLosses,
} from './transmission.ts';

/**
 * The store: rotor, clutch and transmission on one axle. Power at the wheel, positive when it
 * assists, is what strategies and ledger speak of; the chain inwards is
 *   wheel — transmission losses — clutch (slip) — rotor (drag).
 */
export interface Store {
  /** Added to the car [kg] */
  readonly mass: number;
  readonly axle: AxleName;
  readonly rotor: Rotor;
  readonly transmission: Transmission;
  readonly losses: TransmissionLosses;
  /** At the wheel [W] */
  readonly powerLimit: number;
  /** At the axle [N m] */
  readonly axleTorqueLimit: number;
  /** Wheel force over normal load of the axle, in both directions */
  readonly adhesionLimit: number;
  /** Share of the braking force that the store may give */
  readonly brakeShareLimit: number;
  /** Above this deceleration the car has all its friction brakes, the store nothing [m/s²] */
  readonly frictionOnlyAbove: number;
  /** Vacuum pump and hydraulics, electrical, always [W] */
  readonly auxiliaryPower: number;
  /** Rotor speed at the start of a run [rad/s] */
  readonly initialSpeed: number;
}

/** Limits at the wheel that follow from the trace alone. */
export interface WheelCaps {
  /** [W] */
  recover: number;
  recoverLimit: number;
  /** [W] */
  assist: number;
  assistLimit: number;
}

/**
 * Power the store may take or give at the wheel in an interval, before its own energy and ratio:
 * power, axle torque, adhesion, and in braking the permitted share and the hard-braking rule.
 * @param store
 * @param axles weight distribution of the car
 * @param mass of the car with the store [kg]
 * @param tyreRadius [m]
 * @param speed mean [m/s]
 * @param acceleration [m/s²]
 * @param sine sin θ of the road
 * @param wheelPower demand at the wheels, negative when braking [W]
 * @param caps result
 */
export function wheelCaps(
  store: Store,
  axles: Axles,
  mass: number,
  tyreRadius: number,
  speed: number,
  acceleration: number,
  sine: number,
  wheelPower: number,
  caps: WheelCaps,
): void {
  let cap = store.powerLimit;
  let limit: number = LIMIT.power;
  const torque = (store.axleTorqueLimit * speed) / tyreRadius;
  if (torque < cap) {
    cap = torque;
    limit = LIMIT.torque;
  }
  const adhesion =
    store.adhesionLimit * axleLoad(axles, store.axle, mass, acceleration, sine) * speed;
  if (adhesion < cap) {
    cap = adhesion;
    limit = LIMIT.adhesion;
  }
  caps.assist = cap;
  caps.assistLimit = limit;
  if (wheelPower < 0) {
    if (-acceleration > store.frictionOnlyAbove) {
      cap = 0;
      limit = LIMIT.hardBraking;
    } else if (-wheelPower * store.brakeShareLimit < cap) {
      cap = -wheelPower * store.brakeShareLimit;
      limit = LIMIT.brakeShare;
    }
  }
  caps.recover = cap;
  caps.recoverLimit = limit;
}

/** What the store can do in one interval, each answer with the limit that set it. */
export interface Envelope extends WheelCaps, Coupling {
  /** Ratio at which the transmission works, within its range */
  recoverRatio: number;
  assistRatio: number;
  /** Share of the entering power lost in the transmission; read from the table where it has one */
  recoverShare: number;
  assistShare: number;
  /** Spin loss once engaged [W] */
  spin: number;
}

/** An envelope with every field set, to be written again and again. */
export function newEnvelope(): Envelope {
  return {
    recover: 0,
    recoverLimit: 0,
    assist: 0,
    assistLimit: 0,
    recoverShaft: 0,
    recoverCeiling: 0,
    assistShaft: 0,
    assistFloor: 0,
    recoverRatio: 1,
    assistRatio: 1,
    recoverShare: 0,
    assistShare: 0,
    spin: 0,
  };
}

/**
 * Envelope of an interval: the caps of the trace, then ratio and slip, then the energy left to the
 * ends of the rotor's range within this interval after its own losses.
 * @param store
 * @param rotorSpeed at the start [rad/s]
 * @param axleSpeed mean, above 0 [rad/s]
 * @param dt [s]
 * @param caps limits from the trace
 * @param wheelPower demand at the wheels [W], for the choice of a stepped ratio
 * @param envelope result
 */
export function storeEnvelope(
  store: Store,
  rotorSpeed: number,
  axleSpeed: number,
  dt: number,
  caps: WheelCaps,
  wheelPower: number,
  envelope: Envelope,
): void {
  const { rotor, losses } = store;
  const perSpeed = (2 * rotor.inertia) / dt;
  const asked = Math.abs(wheelPower);
  couple(
    store.transmission,
    rotorSpeed,
    axleSpeed,
    perSpeed,
    Math.min(asked, store.powerLimit),
    envelope,
  );
  envelope.spin = spinLoss(losses, axleSpeed);
  envelope.recoverRatio =
    held(rotorSpeed, envelope.recoverShaft, envelope.recoverCeiling) / axleSpeed;
  envelope.assistRatio = held(rotorSpeed, envelope.assistFloor, envelope.assistShaft) / axleSpeed;
  if (losses.form !== 'table') {
    envelope.recoverShare = lossShare(losses, envelope.recoverRatio);
    envelope.assistShare =
      envelope.assistRatio === envelope.recoverRatio
        ? envelope.recoverShare
        : lossShare(losses, envelope.assistRatio);
  }

  // Recovery: the rotor may end at its top speed, or where the ratio range ends.
  envelope.recover = caps.recover;
  envelope.recoverLimit = caps.recoverLimit;
  const ratioTop = 2 * envelope.recoverCeiling - rotorSpeed;
  const full = rotor.maxSpeed < ratioTop;
  const top = full ? rotor.maxSpeed : ratioTop;
  const clutchIn = clutchRecoverLimit(rotor, rotorSpeed, top, envelope.recoverShaft, dt);
  const room = wheelRecovery(store, envelope, clutchIn, caps.recover);
  if (room < envelope.recover) {
    envelope.recover = room;
    envelope.recoverLimit = full ? LIMIT.full : LIMIT.ratio;
  }
  if (envelope.recover > 0 && clutchPowerRecovering(store, envelope, envelope.recover) <= 0) {
    envelope.recover = 0;
    envelope.recoverLimit = LIMIT.spinLoss;
  }

  // Assist: the rotor may end at the bottom of its range, or where the ratio range ends.
  envelope.assist = caps.assist;
  envelope.assistLimit = caps.assistLimit;
  const ratioBottom = 2 * envelope.assistFloor - rotorSpeed;
  const empty = rotor.minSpeed > ratioBottom;
  const bottom = empty ? rotor.minSpeed : ratioBottom;
  const clutchOut = clutchAssistLimit(rotor, rotorSpeed, bottom, envelope.assistShaft, dt);
  const reach = wheelAssist(store, envelope, clutchOut, caps.assist);
  if (reach < envelope.assist) {
    envelope.assist = reach;
    envelope.assistLimit = empty ? LIMIT.empty : LIMIT.ratio;
  }
}

function held(value: number, low: number, high: number): number {
  return value < low ? low : Math.min(value, high);
}

/** Power into the clutch that brings the rotor to `end` within the interval [W], 0 if it is there. */
function clutchRecoverLimit(
  rotor: Rotor,
  start: number,
  end: number,
  shaft: number,
  dt: number,
): number {
  const mean = 0.5 * (start + end);
  if (!(mean > 0)) return 0;
  const torque = (rotor.inertia * (end - start)) / dt + dragTorque(rotor, mean);
  return torque > 0 ? torque * Math.max(mean, shaft) : 0;
}

/** Power out of the clutch that brings the rotor down to `end` [W], 0 if it is there. */
function clutchAssistLimit(
  rotor: Rotor,
  start: number,
  end: number,
  shaft: number,
  dt: number,
): number {
  if (start <= end) return 0;
  const mean = 0.5 * (start + end);
  const torque = (rotor.inertia * (start - end)) / dt - dragTorque(rotor, mean);
  return torque > 0 ? torque * Math.min(mean, shaft) : 0;
}

function clutchPowerRecovering(store: Store, envelope: Envelope, wheel: number): number {
  const { losses } = store;
  const share =
    losses.form === 'table'
      ? 1 - losses.efficiency.at(envelope.recoverRatio, wheel / store.powerLimit)
      : envelope.recoverShare;
  return wheel * (1 - share) - envelope.spin;
}

function clutchPowerAssisting(store: Store, envelope: Envelope, wheel: number): number {
  const { losses } = store;
  const share =
    losses.form === 'table'
      ? 1 - losses.efficiency.at(envelope.assistRatio, wheel / store.powerLimit)
      : envelope.assistShare;
  return (wheel + envelope.spin) / (1 - share);
}

/** Greatest wheel power up to `cap` whose clutch power stays within a limit [W]. */
function wheelRecovery(store: Store, envelope: Envelope, clutch: number, cap: number): number {
  if (clutch <= 0 || cap <= 0) return 0;
  if (clutchPowerRecovering(store, envelope, cap) <= clutch) return cap;
  if (store.losses.form === 'table') {
    return bisect(store, envelope, clutchPowerRecovering, clutch, cap);
  }
  return (clutch + envelope.spin) / (1 - envelope.recoverShare);
}

/** Greatest wheel power up to `cap` whose clutch power stays within a limit [W]. */
function wheelAssist(store: Store, envelope: Envelope, clutch: number, cap: number): number {
  if (clutch <= 0 || cap <= 0) return 0;
  if (clutchPowerAssisting(store, envelope, cap) <= clutch) return cap;
  if (store.losses.form === 'table') {
    return bisect(store, envelope, clutchPowerAssisting, clutch, cap);
  }
  return Math.max(0, clutch * (1 - envelope.assistShare) - envelope.spin);
}

/** The same for a loss that depends on the load: halved until a double can tell no more. */
function bisect(
  store: Store,
  envelope: Envelope,
  clutchPower: typeof clutchPowerRecovering,
  clutch: number,
  cap: number,
): number {
  let low = 0;
  let high = cap;
  for (let i = 0; i < 60; i++) {
    const middle = 0.5 * (low + high);
    if (clutchPower(store, envelope, middle) <= clutch) low = middle;
    else high = middle;
  }
  return low;
}

/** Energies of a transfer over an interval [J]; the rotor's motion with them. */
export interface Transfer extends RotorMotion {
  transmissionLoss: number;
  slipLoss: number;
}

/** A transfer with every field set. */
export function newTransfer(): Transfer {
  return { endSpeed: 0, meanSpeed: 0, dragLoss: 0, transmissionLoss: 0, slipLoss: 0 };
}

/**
 * Smallest recovery at the wheel that gives the rotor anything: below it the spin loss eats it.
 * @param store
 * @param envelope of the interval
 * @param wheel recovery at the wheel, positive [W]
 */
export function worthRecovering(store: Store, envelope: Envelope, wheel: number): boolean {
  return clutchPowerRecovering(store, envelope, wheel) > 0;
}

/**
 * Carries a wheel power through the store for an interval.
 * @param store
 * @param envelope of the same interval
 * @param power at the wheel, positive assists, within the envelope [W]; 0 leaves it disengaged
 * @param rotorSpeed at the start [rad/s]
 * @param dt [s]
 * @param transfer result: losses [J] and the rotor's motion
 */
export function carry(
  store: Store,
  envelope: Envelope,
  power: number,
  rotorSpeed: number,
  dt: number,
  transfer: Transfer,
): void {
  const rotor = store.rotor;
  if (power === 0) {
    turnByTorque(rotor, rotorSpeed, 0, dt, transfer);
    transfer.transmissionLoss = 0;
    transfer.slipLoss = 0;
    return;
  }
  if (power < 0) {
    const clutch = clutchPowerRecovering(store, envelope, -power);
    transfer.transmissionLoss = (-power - clutch) * dt;
    const shaft = envelope.recoverShaft;
    if (shaft > 0) {
      const torque = clutch / shaft;
      turnByTorque(rotor, rotorSpeed, torque, dt, transfer);
      if (transfer.meanSpeed < shaft) {
        transfer.slipLoss = torque * (shaft - transfer.meanSpeed) * dt;
        return;
      }
    }
    turnByPower(rotor, rotorSpeed, clutch, dt, transfer);
    transfer.slipLoss = 0;
    return;
  }
  const clutch = clutchPowerAssisting(store, envelope, power);
  transfer.transmissionLoss = (clutch - power) * dt;
  const shaft = envelope.assistShaft;
  if (shaft < rotorSpeed) {
    const torque = clutch / shaft;
    turnByTorque(rotor, rotorSpeed, -torque, dt, transfer);
    if (transfer.meanSpeed > shaft) {
      transfer.slipLoss = torque * (transfer.meanSpeed - shaft) * dt;
      return;
    }
  }
  turnByPower(rotor, rotorSpeed, -clutch, dt, transfer);
  transfer.slipLoss = 0;
}

/**
 * Energy in the store above the bottom of its working range.
 * @param store
 * @param rotorSpeed [rad/s]
 * @returns [J], negative once drag has taken it below the range
 */
export function usableEnergy(store: Store, rotorSpeed: number): number {
  return rotorEnergy(store.rotor, rotorSpeed) - rotorEnergy(store.rotor, store.rotor.minSpeed);
}
