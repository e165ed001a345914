import type { Behaviour } from './contract.ts';

/** The store helps the engine at launch and in acceleration, and where the engine is at its limit. */
export interface AssistParameters {
  /** Below this speed every drive is a launch [m/s] */
  readonly launchBelow: number;
  /** Above this acceleration the store helps at any speed [m/s²] */
  readonly accelerationAbove: number;
  /** Share of the wheel demand that the store gives */
  readonly share: number;
  /** Share of the working range that is kept */
  readonly floor: number;
  /** The store also covers what the engine alone cannot give, down to the bottom of its range */
  readonly coverShortfall: boolean;
}

export function assist(parameters: AssistParameters): Behaviour {
  return (see, want) => {
    if (see.wheelPower <= 0 || !want.engineOn) return;
    let power = 0;
    const helps =
      see.speed < parameters.launchBelow || see.acceleration > parameters.accelerationAbove;
    if (helps && see.storeShare > parameters.floor) power = parameters.share * see.wheelPower;
    const lacking = see.wheelPower - see.engineLimit;
    if (parameters.coverShortfall && lacking > power) power = lacking;
    if (power > 0) want.storePower = Math.min(power, see.assistLimit);
  };
}
