import type { Table } from './curve.ts';

/**
 * What joins the rotor to the axle. Overall ratio R = rotor speed / axle speed.
 *
 * - variator: any R within [low, high] without slip. Outside it the clutch between variator and
 *   rotor slips at the end of the range: when the car is too slow for the rotor (R > high) only
 *   assist is possible, when the rotor is too slow for the car (R < low) only recovery. The low end
 *   of recovery, the launch loss and the spin-up from rest all follow from this.
 * - stepped: a few fixed ratios, every transfer through the slipping clutch.
 * - ideal: any ratio, no loss; the physical limit, for reference.
 */
export type Transmission =
  | { readonly type: 'variator'; readonly low: number; readonly high: number }
  | { readonly type: 'stepped'; readonly ratios: Float64Array }
  | { readonly type: 'ideal' };

/**
 * Losses of the variator and gears, for a transfer of P at the wheel:
 * - efficiency: (1 − η) of the power that enters;
 * - model: a spin loss (drag torque referred to the axle) while engaged, and a share of the power
 *   that enters which grows with |ln(R / best)|;
 * - table: efficiency over ratio and load (|P| over the power limit of the store).
 */
export type TransmissionLosses =
  | { readonly form: 'efficiency'; readonly share: number }
  | {
      readonly form: 'model';
      readonly share: number;
      readonly shareGrowth: number;
      readonly bestRatio: number;
      /** [N m] at the axle */
      readonly spinTorque: number;
    }
  | { readonly form: 'table'; readonly efficiency: Table };

/**
 * Lossless kinematics of one interval: where the shaft on the axle's side of the clutch turns.
 * Recovery slips while the rotor is slower than `recoverShaft` and ends at `recoverCeiling`; assist
 * slips while the rotor is faster than `assistShaft` and ends at `assistFloor`. All in rad/s at the
 * rotor. Written in place, made once.
 */
export interface Coupling {
  recoverShaft: number;
  recoverCeiling: number;
  assistShaft: number;
  assistFloor: number;
}

/**
 * Kinematics of an interval.
 * @param transmission
 * @param rotorSpeed at the start [rad/s]
 * @param axleSpeed mean [rad/s]
 * @param torquePerSpeed 2 J / Δt of the rotor: clutch torque that shifts its mean speed by 1 rad/s
 * @param power what the interval asks for, with which a stepped transmission picks its ratio [W]
 * @param coupling result
 */
export function couple(
  transmission: Transmission,
  rotorSpeed: number,
  axleSpeed: number,
  torquePerSpeed: number,
  power: number,
  coupling: Coupling,
): void {
  if (transmission.type === 'variator') {
    const slow = transmission.low * axleSpeed;
    const fast = transmission.high * axleSpeed;
    coupling.recoverShaft = slow;
    coupling.recoverCeiling = fast;
    coupling.assistShaft = fast;
    coupling.assistFloor = slow;
  } else if (transmission.type === 'stepped') {
    const { ratios } = transmission;
    const faster = recoverStep(ratios, rotorSpeed, axleSpeed, torquePerSpeed, power) * axleSpeed;
    const slower = assistStep(ratios, rotorSpeed, axleSpeed, torquePerSpeed, power) * axleSpeed;
    coupling.recoverShaft = faster;
    coupling.recoverCeiling = faster;
    coupling.assistShaft = slower;
    coupling.assistFloor = slower;
  } else {
    coupling.recoverShaft = 0;
    coupling.recoverCeiling = Number.POSITIVE_INFINITY;
    coupling.assistShaft = Number.POSITIVE_INFINITY;
    coupling.assistFloor = 0;
  }
}

/** The fixed ratio that gives the rotor the most torque in recovery, hence the most energy. */
function recoverStep(
  ratios: Float64Array,
  rotorSpeed: number,
  axleSpeed: number,
  torquePerSpeed: number,
  power: number,
): number {
  let best = ratios[0]!;
  let bestTorque = -1;
  for (let i = 0; i < ratios.length; i++) {
    const shaft = ratios[i]! * axleSpeed;
    const room = torquePerSpeed * (shaft - rotorSpeed);
    const torque = Math.min(room, power / shaft);
    if (torque > bestTorque) {
      bestTorque = torque;
      best = ratios[i]!;
    }
  }
  return best;
}

/**
 * The fixed ratio that draws least from the rotor among those that give the whole power; where none
 * does, the one that gives most.
 */
function assistStep(
  ratios: Float64Array,
  rotorSpeed: number,
  axleSpeed: number,
  torquePerSpeed: number,
  power: number,
): number {
  let best = ratios[0]!;
  let bestPower = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < ratios.length; i++) {
    const shaft = ratios[i]! * axleSpeed;
    const reach = torquePerSpeed * (rotorSpeed - shaft) * shaft;
    const given = Math.min(reach, power);
    const better = given > bestPower || (given === bestPower && ratios[i]! > best);
    if (better) {
      bestPower = given;
      best = ratios[i]!;
    }
  }
  return best;
}

/**
 * Share of the entering power that is lost, for losses that do not depend on the load.
 * @param losses by efficiency or model
 * @param ratio R, held within the range of the transmission
 * @returns 0 to below 1
 */
export function lossShare(
  losses: Exclude<TransmissionLosses, { form: 'table' }>,
  ratio: number,
): number {
  if (losses.form === 'efficiency' || losses.shareGrowth === 0) return losses.share;
  return losses.share + losses.shareGrowth * Math.abs(Math.log(ratio / losses.bestRatio));
}

/**
 * Spin loss while engaged.
 * @param losses
 * @param axleSpeed mean [rad/s]
 * @returns [W]
 */
export function spinLoss(losses: TransmissionLosses, axleSpeed: number): number {
  return losses.form === 'model' ? losses.spinTorque * axleSpeed : 0;
}
