/**
 * Gearbox, final drive and launch device between the engine and the wheels.
 * Gears are numbered from 1; arrays are indexed by gear − 1.
 */
export interface Gearbox {
  /** Engine turns for each turn of the final drive's input */
  readonly ratios: Float64Array;
  /** Efficiency of each gear */
  readonly efficiency: Float64Array;
  /** Drag torque at the input shaft, always there when the clutch is closed and it turns [N m] */
  readonly dragTorque: number;
  readonly finalDriveRatio: number;
  readonly finalDriveEfficiency: number;
  readonly choice: GearChoice;
  readonly launch: LaunchDevice;
}

/**
 * - thresholds: up at a speed, down at a lower one (hysteresis);
 * - least-fuel: among the gears that keep the engine between two speeds and leave a torque
 *   reserve, the one that burns least, held for a least time.
 */
export type GearChoice =
  | {
      readonly by: 'thresholds';
      /** Speed at which gear i+1 is left for i+2 [m/s] */
      readonly up: Float64Array;
      /** Speed below which gear i+2 is left for i+1 [m/s] */
      readonly down: Float64Array;
    }
  | {
      readonly by: 'least-fuel';
      /** [rad/s] */
      readonly minSpeed: number;
      /** [rad/s] */
      readonly maxSpeed: number;
      /** Share of the full-load torque that stays free */
      readonly torqueReserve: number;
      /** [s] */
      readonly minimumTime: number;
    };

/** What slips at launch. A converter also drags the engine at rest while a gear is engaged. */
export interface LaunchDevice {
  readonly device: 'clutch' | 'converter';
  /** Engine speed held while the device slips [rad/s] */
  readonly engagementSpeed: number;
  /** Torque a converter takes at idle at rest [N m]; 0 for a clutch */
  readonly creepTorque: number;
}

/**
 * Ratio from the wheels to the gearbox input in a gear.
 * @param gearbox
 * @param gear from 1
 * @param tyreRadius [m]
 * @returns gearbox input speed for each road speed [rad/s per m/s]
 */
export function inputSpeedRatio(gearbox: Gearbox, gear: number, tyreRadius: number): number {
  return (gearbox.ratios[gear - 1]! * gearbox.finalDriveRatio) / tyreRadius;
}

/**
 * Gear from speed thresholds with hysteresis.
 * @param choice thresholds
 * @param speed [m/s]
 * @param gear now engaged, from 1
 * @returns gear, from 1
 */
export function gearByThresholds(
  choice: Extract<GearChoice, { by: 'thresholds' }>,
  speed: number,
  gear: number,
): number {
  let next = gear;
  while (next <= choice.up.length && speed >= choice.up[next - 1]!) next++;
  while (next > 1 && speed < choice.down[next - 2]!) next--;
  return next;
}
