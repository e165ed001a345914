import type { Car } from '../simulate/car.ts';
import type { Lanes } from './lanes.ts';

/** Starts of the engine that a debt may have grown by beside the electrical load. */
const STARTS_AT_ONCE = 4;

/** How far from a known lap's debt others are taken into account, over the debt's limit. */
const DEBT_REACH = 0.15;

/**
 * Which debts of the battery are taken into account at each instant. Those of a kind of engine stand
 * together among the lanes, in as many of them as the widest instant needs.
 */
export class OpenDebts {
  /** Indices of the first and the last node that count at each instant */
  readonly low: Uint8Array;
  readonly high: Uint8Array;
  /** Most nodes that count at an instant */
  width = 0;
  private readonly lanes: Lanes;
  private readonly car: Car;
  private readonly dt: Float64Array;

  /**
   * @param lanes
   * @param car with the store fitted
   * @param dt length of the trace's intervals [s]
   */
  constructor(lanes: Lanes, car: Car, dt: Float64Array) {
    this.lanes = lanes;
    this.car = car;
    this.dt = dt;
    this.low = new Uint8Array(dt.length + 1);
    this.high = new Uint8Array(dt.length + 1);
    this.openAll();
  }

  /** All that there can be: they grow from nothing at the start. */
  openAll(): void {
    const { electrics, engine } = this.car;
    const growth = electrics.load / electrics.batteryEfficiency;
    const starts = (STARTS_AT_ONCE * engine.restart.electricalEnergy) / electrics.batteryEfficiency;
    let longest = 0;
    for (let k = 0; k < this.low.length; k++) {
      if (k > 0) longest += this.dt[k - 1]! * growth;
      this.open(k, 0, starts + longest);
    }
    this.measure();
  }

  /**
   * Only those near the debts of a lap, or of two and between them.
   * @param debts of the lap at each instant [J]
   * @param others of the other one
   */
  openAlong(debts: Float64Array, others: Float64Array = debts): void {
    const reach = DEBT_REACH * this.car.electrics.debtLimit;
    for (let k = 0; k < this.low.length; k++) {
      const low = Math.min(debts[k]!, others[k]!);
      const high = Math.max(debts[k]!, others[k]!);
      this.open(k, low - reach, high + reach);
    }
    this.measure();
  }

  private open(instant: number, low: number, high: number): void {
    this.low[instant] = this.lanes.debtBelow(instant, low);
    this.high[instant] = this.lanes.debtBelow(instant, high) + 1;
  }

  private measure(): void {
    this.width = this.low.reduce((most, low, k) => Math.max(most, this.high[k]! - low + 1), 0);
  }
}
