import type { Behaviour } from './contract.ts';

/** Engine off while the car stands. */
export interface StopStartParameters {
  /** The car has stood this long before the engine stops [s] */
  readonly delay: number;
}

export function stopStart(parameters: StopStartParameters): Behaviour {
  let stood = 0;
  return (see, want) => {
    if (see.speed > 0) {
      stood = 0;
      return;
    }
    if (stood >= parameters.delay && see.stopAllowed) {
      want.engineOn = false;
      want.clutched = false;
    }
    stood += see.duration;
  };
}
