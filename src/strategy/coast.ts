import type { Behaviour } from './contract.ts';

/**
 * Engine-off coast. When the driver asks for no traction the engine stops and declutches and the
 * store takes all the deceleration. It then drives the car until its energy is down to the floor or
 * it cannot carry the demand alone; only then the engine restarts.
 */
export interface CoastParameters {
  /** Share of the working range at which the engine takes over again */
  readonly floor: number;
  /** Coasting begins only below this speed [m/s] */
  readonly maxSpeed: number;
}

export function coast(parameters: CoastParameters): Behaviour {
  let coasting = false;
  return (see, want) => {
    if (see.wheelPower <= 0) {
      if (!coasting) coasting = see.stopAllowed && see.speed < parameters.maxSpeed;
      if (!coasting) return;
      want.storePower = -Math.min(-see.wheelPower, see.recoverLimit);
    } else {
      if (!coasting) return;
      coasting = see.storeShare > parameters.floor && see.assistLimit >= see.wheelPower;
      if (!coasting) return;
      want.storePower = see.wheelPower;
    }
    want.engineOn = false;
    want.clutched = false;
  };
}
