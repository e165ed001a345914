/**
 * Low-voltage electrics. With the engine on, the alternator carries the load and pays back what the
 * battery is owed; with the engine off, the battery carries the load and the debt grows.
 */
export interface Electrics {
  /** Constant electrical load, with the store's vacuum pump and hydraulics when one is fitted [W] */
  readonly load: number;
  readonly alternatorEfficiency: number;
  readonly batteryEfficiency: number;
  /** Greatest electrical power for paying back [W] */
  readonly rechargeLimit: number;
  /** The engine may not be off while more than this is owed [J] */
  readonly debtLimit: number;
}

/**
 * Electrical power that goes into paying back a debt over an interval.
 * @param electrics
 * @param debt electrical energy the battery is owed [J]
 * @param dt length of the interval [s]
 * @returns [W]
 */
export function rechargePower(electrics: Electrics, debt: number, dt: number): number {
  const wanted = debt / dt;
  return Math.min(wanted, electrics.rechargeLimit);
}
