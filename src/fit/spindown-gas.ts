import {
  type Chamber,
  freeMolecularShear,
  meanFreePath,
  type RotorShape,
} from '../physics/windage.ts';
import type { Estimate } from './intervals.ts';

/** The air that a linear drag would take, if it were nothing but windage of free molecules. */
export interface GasReading {
  /** [Pa] */
  readonly pressure: Estimate;
  /** Mean free path at that pressure over the gap; free molecules only above 10 */
  readonly knudsen: number;
}

/**
 * Reads the pressure around a rotor from its linear drag: the free-molecular torque of a cylinder and
 * two end faces is c1 ω with c1 = τ/U · (2 π R³ L + π R⁴), proportional to the pressure. Bearings that
 * drag with the speed as well make the true pressure lower: this is its upper end.
 * @param linear c1 [N m s/rad]
 * @param shape rotor
 * @param chamber temperature, gap and surfaces; its pressure is not used
 */
export function gasOf(
  { value, halfWidth }: Estimate,
  { radius, length }: RotorShape,
  chamber: Chamber,
): GasReading {
  const area = 2 * Math.PI * radius ** 3 * length + Math.PI * radius ** 4;
  const perPascal = freeMolecularShear({ ...chamber, pressure: 1 }) * area;
  const pressure = value / perPascal;
  return {
    pressure: { value: pressure, halfWidth: halfWidth / perPascal },
    knudsen: meanFreePath(pressure, chamber.temperature) / chamber.gap,
  };
}
