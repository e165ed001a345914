import type { Strategy, Want } from '../strategy/contract.ts';

/** Wishes of a whole lap, one for each interval. */
export class Plan {
  private readonly power: Float64Array;
  private readonly engineOn: Uint8Array;
  private readonly clutched: Uint8Array;

  constructor(count: number) {
    this.power = new Float64Array(count);
    this.engineOn = new Uint8Array(count);
    this.clutched = new Uint8Array(count);
  }

  note(stage: number, want: Readonly<Want>): void {
    this.power[stage] = want.storePower;
    this.engineOn[stage] = want.engineOn ? 1 : 0;
    this.clutched[stage] = want.clutched ? 1 : 0;
  }

  read(stage: number, want: Want): void {
    want.storePower = this.power[stage]!;
    want.engineOn = this.engineOn[stage] === 1;
    want.clutched = this.clutched[stage] === 1;
  }
}

/**
 * A strategy that wants what was planned, interval by interval. It knows the road to come, as no
 * strategy in a car can; the simulator treats it like any other.
 */
export function replayOf(plan: Plan): Strategy {
  let stage = 0;
  return {
    name: 'bound',
    decide(_see, want) {
      plan.read(stage++, want);
    },
  };
}
