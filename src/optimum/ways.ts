import type { State } from '../simulate/state.ts';

/** Ways at one instant, in columns: the state each ended in, its cost, and how it got there. */
export class Ways {
  count = 0;
  readonly rotorSpeed: Float64Array;
  readonly cost: Float64Array;
  readonly total: Float64Array;
  readonly cell: Int32Array;
  readonly parent: Uint16Array;
  readonly decision: Uint8Array;
  readonly engineOn: Uint8Array;
  private readonly engineSpeed: Float64Array;
  private readonly engineTime: Float64Array;
  private readonly runningTime: Float64Array;
  private readonly batteryDebt: Float64Array;

  constructor(slots: number) {
    const column = () => new Float64Array(slots);
    this.rotorSpeed = column();
    this.cost = column();
    this.total = column();
    this.cell = new Int32Array(slots);
    this.parent = new Uint16Array(slots);
    this.decision = new Uint8Array(slots);
    this.engineOn = new Uint8Array(slots);
    this.engineSpeed = column();
    this.engineTime = column();
    this.runningTime = column();
    this.batteryDebt = column();
  }

  put(
    i: number,
    state: Readonly<State>,
    cost: number,
    total: number,
    parent: number,
    decision: number,
  ): void {
    this.rotorSpeed[i] = state.rotorSpeed;
    this.engineOn[i] = state.engineOn ? 1 : 0;
    this.engineSpeed[i] = state.engineSpeed;
    this.engineTime[i] = state.engineTime;
    this.runningTime[i] = state.runningTime;
    this.batteryDebt[i] = state.batteryDebt;
    this.cost[i] = cost;
    this.total[i] = total;
    this.parent[i] = parent;
    this.decision[i] = decision;
  }

  get(i: number, state: State): void {
    state.rotorSpeed = this.rotorSpeed[i]!;
    state.engineOn = this.engineOn[i] === 1;
    state.engineSpeed = this.engineSpeed[i]!;
    state.engineTime = this.engineTime[i]!;
    state.runningTime = this.runningTime[i]!;
    state.batteryDebt = this.batteryDebt[i]!;
  }

  /** Copies a way to a place before it. */
  move(from: number, to: number): void {
    if (from === to) return;
    this.rotorSpeed[to] = this.rotorSpeed[from]!;
    this.engineOn[to] = this.engineOn[from]!;
    this.engineSpeed[to] = this.engineSpeed[from]!;
    this.engineTime[to] = this.engineTime[from]!;
    this.runningTime[to] = this.runningTime[from]!;
    this.batteryDebt[to] = this.batteryDebt[from]!;
    this.cost[to] = this.cost[from]!;
    this.total[to] = this.total[from]!;
  }
}
