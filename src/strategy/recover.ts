import type { Behaviour } from './contract.ts';

/** The store takes braking energy that the engine's overrun leaves. */
export interface RecoverParameters {
  /** Share of what could be taken */
  readonly share: number;
  /** Braking below this power is left to the brakes [W] */
  readonly minPower: number;
}

export function recover(parameters: RecoverParameters): Behaviour {
  return (see, want) => {
    if (want.storePower !== 0) return;
    const braking = -see.wheelPower - (want.engineOn && want.clutched ? see.engineDrag : 0);
    if (braking <= parameters.minPower) return;
    want.storePower = -Math.min(braking * parameters.share, see.recoverLimit);
  };
}
