import { type Rotor, rotorEnergy } from '../physics/rotor.ts';
import { copyState, type State } from '../simulate/state.ts';
import type { Taker } from './dynamic-programming.ts';
import type { RoadStages } from './road-stages.ts';
import { selectNth } from './select-nth.ts';
import type { Values } from './values.ts';
import { Ways } from './ways.ts';

/** How widely the search for the best way looks round. */
export interface Breadth {
  /** Of two ways that end within such a cell of the rotor's energy the cheaper goes on [J] */
  readonly cell: number;
  /** Ways that go on at each instant */
  readonly ways: number;
  /** Ways dearer than the cheapest by more than this end [J of fuel] */
  readonly margin: number;
  /**
   * Cells that make a band, of which the cheapest way with the engine off and the cheapest with it on go
   * on in any case; no bands if left out. A store that just carries the car to the next stop is far too
   * dear by the costs to go, which blur that edge, and all ways to it would end.
   */
  readonly band?: number | undefined;
}

/** The end of a way through the whole trace. */
export interface Arrival {
  /** Number of the way */
  readonly way: number;
  /** Rotor's energy [J] */
  readonly energy: number;
  /** Cost of the way [J of fuel] */
  readonly cost: number;
}

/**
 * Searches forward for the cheapest way through a trace, led by costs to go. These are interpolated
 * and so a little wrong; a way is a lap that was really driven, with its exact cost, and of all ways
 * the cheapest are driven on side by side. What the grid of the costs to go blurs (whether the store
 * just carries the car to the next stop, or the engine must start once more) is so decided by driving
 * it.
 */
export class Search implements Taker {
  private readonly stages: RoadStages;
  private readonly values: Values;
  private readonly rotor: Rotor;
  private readonly breadth: Breadth;
  /** Newest way of each cell among those of the next instant; −1 where there is none */
  private readonly inCell: Int32Array;
  private readonly cells: number;
  /** The cheapest way of each band with the engine off, then with it on; −1 where there is none */
  private readonly inBand: Int32Array;
  private now: Ways;
  private next: Ways;
  private readonly parent: Uint16Array;
  private readonly decision: Uint8Array;
  private readonly sorted: Float64Array;
  /** Most ways of an instant: those of the breadth, and the known lap */
  private readonly row: number;
  private readonly state: State;
  private best = 0;
  private from = 0;
  /** Decisions of a known lap that goes along, and where it stands among the ways; −1 without one */
  private readonly escorted: Uint8Array | undefined;
  private escort: number;
  private nextEscort = -1;
  private stage = 0;

  constructor(
    stages: RoadStages,
    values: Values,
    rotor: Rotor,
    start: Readonly<State>,
    breadth: Breadth,
    escorted?: Uint8Array,
  ) {
    this.stages = stages;
    this.values = values;
    this.rotor = rotor;
    this.breadth = breadth;
    this.cells = Math.floor(rotorEnergy(rotor, rotor.maxSpeed) / breadth.cell) + 2;
    const slots = this.cells * stages.kinds;
    this.inCell = new Int32Array(slots).fill(-1);
    this.now = new Ways(slots + 1);
    this.next = new Ways(slots + 1);
    this.escorted = escorted;
    this.escort = escorted === undefined ? -1 : 0;
    this.sorted = new Float64Array(slots + 1);
    const bands = breadth.band === undefined ? 0 : Math.ceil(this.cells / breadth.band);
    this.inBand = new Int32Array(2 * bands);
    this.row = breadth.ways + 1 + this.inBand.length;
    this.parent = new Uint16Array(stages.count * this.row);
    this.decision = new Uint8Array(stages.count * this.row);
    this.state = copyState(start);
    this.now.put(0, start, 0, 0, 0, 0);
    this.now.count = 1;
  }

  /** Drives all ways to the end; the known lap is among them, whatever the costs to go make of it. */
  drive(): readonly Arrival[] {
    const { stages, state, inCell } = this;
    for (let stage = 0; stage < stages.count; stage++) {
      const { now, next } = this;
      this.best = Number.POSITIVE_INFINITY;
      this.stage = stage;
      next.count = 0;
      for (let i = 0; i < now.count; i++) {
        this.from = i;
        now.get(i, state);
        stages.tryFrom(stage, state, this.values, this);
      }
      for (let i = 0; i < next.count; i++) if (next.cell[i]! >= 0) inCell[next.cell[i]!] = -1;
      this.keepCheapest(stage);
      this.now = next;
      this.next = now;
    }
    const { now } = this;
    return Array.from({ length: now.count }, (_, i) => ({
      way: i,
      energy: rotorEnergy(this.rotor, now.rotorSpeed[i]!),
      cost: now.cost[i]!,
    }));
  }

  offer(onward: number, decision: number): void {
    const total = this.now.cost[this.from]! + onward;
    if (this.from === this.escort && decision === this.escorted![this.stage]) {
      this.nextEscort = this.next.count++;
      this.next.cell[this.nextEscort] = -1;
      this.put(this.nextEscort, total, decision);
      if (total < this.best) this.best = total;
      return;
    }
    if (total > this.best + this.breadth.margin) return;
    if (total < this.best) this.best = total;
    const { stages, inCell, next } = this;
    const { reached } = stages;
    const energy = rotorEnergy(this.rotor, reached.rotorSpeed);
    const cell = stages.kind(reached) * this.cells + Math.floor(energy / this.breadth.cell);
    let slot = inCell[cell]!;
    if (slot < 0) {
      slot = next.count++;
      inCell[cell] = slot;
      next.cell[slot] = cell;
    } else if (next.total[slot]! <= total) return;
    this.put(slot, total, decision);
  }

  private put(slot: number, total: number, decision: number): void {
    const { stages, now, next, from } = this;
    next.put(slot, stages.reached, now.cost[from]! + stages.paid, total, from, decision);
  }

  /** Number of the known lap among the arrivals; −1 without one. */
  get known(): number {
    return this.escort;
  }

  /** Moves the cheapest ways to the front, and notes where they came from. */
  private keepCheapest(stage: number): void {
    const { next, sorted, breadth } = this;
    const { length } = next.total;
    let limit = this.best + breadth.margin;
    // Of ways that cost the same as the last one to go on, as many go on as there is room for.
    let ties = length;
    if (next.count > breadth.ways) {
      sorted.set(next.total.subarray(0, next.count));
      const last = selectNth(sorted, next.count, breadth.ways - 1);
      if (last <= limit) {
        limit = last;
        ties = breadth.ways;
        for (let i = 0; i < next.count; i++) if (next.total[i]! < last) ties--;
      }
    }
    this.findBands();
    const row = stage * this.row;
    const escort = this.escort < 0 ? -1 : this.nextEscort;
    let kept = 0;
    for (let i = 0; i < next.count; i++) {
      const total = next.total[i]!;
      if (i === escort) this.escort = kept;
      else if (total > limit || (total === limit && ties-- <= 0)) {
        if (total > this.best + breadth.margin || !this.leadsBand(i)) continue;
      }
      next.move(i, kept);
      this.parent[row + kept] = next.parent[i]!;
      this.decision[row + kept] = next.decision[i]!;
      kept++;
    }
    next.count = kept;
  }

  /** Finds the cheapest way of each band. */
  private findBands(): void {
    const { next, inBand } = this;
    if (inBand.length === 0) return;
    inBand.fill(-1);
    for (let i = 0; i < next.count; i++) {
      const band = this.bandOf(i);
      if (band < 0) continue;
      const cheapest = inBand[band]!;
      if (cheapest < 0 || next.total[i]! < next.total[cheapest]!) inBand[band] = i;
    }
  }

  private leadsBand(way: number): boolean {
    const band = this.bandOf(way);
    return band >= 0 && this.inBand[band] === way;
  }

  /** Number of a way's band and engine; −1 without bands, and for the known lap. */
  private bandOf(way: number): number {
    const { cells, breadth, next } = this;
    const cell = next.cell[way]!;
    if (breadth.band === undefined || cell < 0) return -1;
    return 2 * Math.floor((cell % cells) / breadth.band) + next.engineOn[way]!;
  }

  /** Decisions of a way that arrived, as `RoadStages.take` knows them. */
  decisions(way: number): Uint8Array {
    const decisions = new Uint8Array(this.stages.count);
    let at = way;
    for (let stage = this.stages.count - 1; stage >= 0; stage--) {
      const index = stage * this.row + at;
      decisions[stage] = this.decision[index]!;
      at = this.parent[index]!;
    }
    return decisions;
  }
}
