import type { Behaviour, Want } from './contract.ts';

/**
 * The engine stays off, or is stopped, as long as the store can carry the car: stopped when the
 * store is full enough, restarted when it is down to the floor or the demand is too high.
 */
export interface KeepOffParameters {
  /** Share of the working range above which a running engine is stopped */
  readonly stopAbove: number;
  /** Share of the working range at which it restarts */
  readonly floor: number;
  /** Wheel power above which it restarts [W] */
  readonly maxPower: number;
}

export function keepOff(parameters: KeepOffParameters): Behaviour {
  return (see, want) => {
    if (see.wheelPower <= 0) {
      if (!see.engineOn) stayOff(want);
      return;
    }
    const level = see.engineOn ? parameters.stopAbove : parameters.floor;
    const carries =
      see.storeShare > level &&
      see.wheelPower <= parameters.maxPower &&
      see.assistLimit >= see.wheelPower;
    if (!carries || !see.stopAllowed) return;
    want.storePower = see.wheelPower;
    stayOff(want);
  };
}

function stayOff(want: Want): void {
  want.engineOn = false;
  want.clutched = false;
}
