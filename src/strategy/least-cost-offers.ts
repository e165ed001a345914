import type { View, Want } from './contract.ts';

/** Shares of the most that the engine could charge with. */
const CHARGE = [0.125, 0.25, 0.5, 1];

/** Shares of the most that the store could give beside a running engine. */
const ASSIST = [0.25, 0.5, 0.75, 1];

/** Doing nothing, every share above, and the store alone with the engine idling or off. */
const MOST = 1 + CHARGE.length + ASSIST.length + 2;

/**
 * The decisions that are worth weighing in an interval. Driving: the engine alone, charging, helped,
 * or idle or off while the store carries the car. Otherwise: the engine clutched with and without
 * recovery, idling, or off. In braking there is nothing between all and nothing for the store, since
 * what it does not take is lost.
 */
export class Offers {
  count = 0;
  private readonly power = new Float64Array(MOST);
  private readonly engineOn = new Uint8Array(MOST);
  private readonly clutched = new Uint8Array(MOST);

  /** Finds the offers of an interval; the first is to do nothing. */
  make(see: Readonly<View>): void {
    this.count = 0;
    this.add(0, true, true);
    if (see.wheelPower > 0) this.driving(see);
    else this.braking(see);
  }

  /** Writes an offer into a wish. */
  read(index: number, want: Want): void {
    want.storePower = this.power[index]!;
    want.engineOn = this.engineOn[index] === 1;
    want.clutched = this.clutched[index] === 1;
  }

  private driving({ wheelPower, assistLimit, recoverLimit, stopAllowed }: Readonly<View>): void {
    if (recoverLimit > 0) {
      for (let i = 0; i < CHARGE.length; i++) this.add(-CHARGE[i]! * recoverLimit, true, true);
    }
    if (assistLimit > 0) {
      for (let i = 0; i < ASSIST.length; i++) this.add(ASSIST[i]! * assistLimit, true, true);
    }
    if (assistLimit < wheelPower) return;
    this.add(wheelPower, true, false);
    if (stopAllowed) this.add(wheelPower, false, false);
  }

  private braking({ recoverLimit, stopAllowed }: Readonly<View>): void {
    if (recoverLimit > 0) this.add(-recoverLimit, true, true);
    this.add(-recoverLimit, true, false);
    if (stopAllowed) this.add(-recoverLimit, false, false);
  }

  private add(power: number, engineOn: boolean, clutched: boolean): void {
    const i = this.count++;
    this.power[i] = power;
    this.engineOn[i] = engineOn ? 1 : 0;
    this.clutched[i] = clutched ? 1 : 0;
  }
}
