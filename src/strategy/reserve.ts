import type { Behaviour } from './contract.ts';

/**
 * A reserve for overtaking: while the store holds less than the target and the engine runs under a
 * light load, the engine charges it. Extra work of an engine that runs anyway costs its marginal
 * rate only, which is when charging is cheap.
 */
export interface ReserveParameters {
  /** Share of the working range that is kept ready */
  readonly target: number;
  /** Wheel power that charges [W] */
  readonly chargePower: number;
  /** Charging only below this demand, so that the driver has the rest of the engine [W] */
  readonly demandBelow: number;
  /** Charging only above this speed [m/s] */
  readonly speedAbove: number;
}

export function reserve(parameters: ReserveParameters): Behaviour {
  return (see, want) => {
    const { wheelPower } = see;
    if (wheelPower <= 0 || wheelPower >= parameters.demandBelow) return;
    if (!want.engineOn || want.storePower > 0) return;
    if (see.speed <= parameters.speedAbove || see.storeShare >= parameters.target) return;
    const spare = see.engineLimit - wheelPower;
    const power = Math.min(parameters.chargePower, see.recoverLimit, spare);
    if (power > 0) want.storePower = -power;
  };
}
