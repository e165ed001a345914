import type { Want } from '../strategy/contract.ts';

/** What decisions lead to, for states of an interval in which the same ones lead to the same. */
export class Settled {
  count = 0;
  /** Fuel and what the battery is owed, without the cost to go [J] */
  readonly cost: Float64Array;
  /** [J] */
  readonly debtChange: Float64Array;
  /** What the engine does at the end */
  readonly engine: Uint8Array;
  /** Five numbers each, of `Values.locate` */
  readonly place: Float64Array;
  /** In which turn each was weighed last: wishes that lead to the same need it once */
  readonly weighed: Int32Array;
  turn = 0;
  private readonly power: Float64Array;
  private readonly engineOn: Uint8Array;
  private readonly clutched: Uint8Array;

  /** @param offers most of an interval; each may find the engine running or not */
  constructor(offers: number) {
    const most = 2 * offers;
    this.cost = new Float64Array(most);
    this.debtChange = new Float64Array(most);
    this.engine = new Uint8Array(most);
    this.place = new Float64Array(5 * most);
    this.weighed = new Int32Array(most);
    this.power = new Float64Array(most);
    this.engineOn = new Uint8Array(most);
    this.clutched = new Uint8Array(most);
  }

  /**
   * Finds what a wish leads to.
   * @param want
   * @param on whether the engine would run
   * @returns its number, −1 if it was not settled yet
   */
  find(want: Readonly<Want>, on: boolean): number {
    const { power, engineOn, clutched } = this;
    const running = on ? 1 : 0;
    const inGear = on && want.clutched ? 1 : 0;
    for (let i = 0; i < this.count; i++) {
      if (power[i] === want.storePower && engineOn[i] === running && clutched[i] === inGear) {
        return i;
      }
    }
    return -1;
  }

  /** Takes up a wish that was not found; returns its number. */
  add(want: Readonly<Want>, on: boolean): number {
    const i = this.count++;
    this.power[i] = want.storePower;
    this.engineOn[i] = on ? 1 : 0;
    this.clutched[i] = on && want.clutched ? 1 : 0;
    this.weighed[i] = 0;
    return i;
  }
}
