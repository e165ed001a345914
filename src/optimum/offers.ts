import type { View, Want } from '../strategy/contract.ts';

/** Shares of a limit that are tried. */
export interface Levels {
  /** Of the most that the store can give, below all of it */
  readonly assist: readonly number[];
  /** Of the most that it can take from the engine */
  readonly charge: readonly number[];
  /** Of the most that it can take in braking, below all of it */
  readonly recover: readonly number[];
}

/** Levels of the bound. More of them change its fuel by less than 0.03 % and take twice the time. */
export const LEVELS: Levels = { assist: [0.5], charge: [0.25, 1], recover: [] };

/** Those of a short trace, on which a single decision counts for more. */
export const FINE_LEVELS: Levels = {
  assist: [0.125, 0.25, 0.5, 0.75],
  charge: [0.0625, 0.125, 0.25, 0.5, 1],
  recover: [0.5],
};

/**
 * The decisions that are worth trying in an interval: everything that a strategy could want, with the
 * store's power in steps. They come in an order in which one look serves them all: what a clutched
 * engine does first, then an engine at rest, then one that idles.
 */
export class Offers {
  count = 0;
  /** Most offers of an interval */
  readonly most: number;
  private readonly levels: Levels;
  private readonly power: Float64Array;
  private readonly engineOn: Uint8Array;
  private readonly clutched: Uint8Array;

  constructor(levels: Levels) {
    this.levels = levels;
    this.most = levels.assist.length + levels.charge.length + 2 * levels.recover.length + 8;
    this.power = new Float64Array(this.most);
    this.engineOn = new Uint8Array(this.most);
    this.clutched = new Uint8Array(this.most);
  }

  /** Writes an offer into a wish. */
  read(index: number, want: Want): void {
    want.storePower = this.power[index]!;
    want.engineOn = this.engineOn[index] === 1;
    want.clutched = this.clutched[index] === 1;
  }

  /** Makes the offers of an interval. */
  make(see: Readonly<View>): void {
    this.count = 0;
    if (see.wheelPower > 0) this.driving(see);
    else if (see.speed > 0) this.braking(see);
    else {
      if (see.stopAllowed) this.add(0, false, false);
      this.add(0, true, false);
    }
  }

  private driving(see: Readonly<View>): void {
    const { levels } = this;
    const { assistLimit: assist, recoverLimit: charge } = see;
    const carries = assist >= see.wheelPower;
    if (charge > 0) for (const share of levels.charge) this.add(-share * charge, true, true);
    this.add(0, true, true);
    if (assist > 0) {
      for (const share of levels.assist) this.add(share * assist, true, true);
      if (!carries) this.add(assist, true, true);
    }
    if (!carries) return;
    if (see.stopAllowed) this.add(assist, false, false);
    this.add(assist, true, true);
    this.add(assist, true, false);
  }

  private braking(see: Readonly<View>): void {
    const { levels } = this;
    const recover = see.recoverLimit;
    this.add(0, true, true);
    if (recover > 0) {
      for (const share of levels.recover) this.add(-share * recover, true, true);
      this.add(-recover, true, true);
    }
    if (see.stopAllowed) {
      this.add(0, false, false);
      if (recover > 0) {
        for (const share of levels.recover) this.add(-share * recover, false, false);
        this.add(-recover, false, false);
      }
    }
    this.add(-recover, true, false);
  }

  private add(power: number, engineOn: boolean, clutched: boolean): void {
    const i = this.count++;
    this.power[i] = power === 0 ? 0 : power;
    this.engineOn[i] = engineOn ? 1 : 0;
    this.clutched[i] = clutched ? 1 : 0;
  }
}
