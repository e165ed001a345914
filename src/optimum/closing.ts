import { type Rotor, rotorEnergy, rotorSpeed } from '../physics/rotor.ts';
import { assignState, copyState, type State } from '../simulate/state.ts';
import { newWant } from '../strategy/contract.ts';
import type { Plan } from './replay.ts';
import type { RoadStages } from './road-stages.ts';

/** Intervals at the end of a lap whose power may be moved: each of them is tried by driving on from it. */
const MOVABLE = 250;

/** Powers that are moved, one after another, before a lap is given up as one that does not close. */
const MOST_MOVES = 10;

/** A lap closes when it ends no more than this above its start, over its fuel. */
const CLOSED = 2e-6;

/** A move is worth making that takes away at least so much of what the lap lacks. */
const WORTHWHILE = 0.01;

/**
 * Number of the move of the energy at the start, among those of the intervals, and how far it goes: over
 * what the lap lacks, since most of it comes back at the end, and over the greatest energy.
 */
const START = -1;
const START_PER_GAP = 20;
const START_REACH = 0.02;

/** How much further a power is moved than the lap would need without losses. */
const AMPLE = 1.5;

/** Steps of the search for the power with which a lap closes. */
const MOST_STEPS = 30;

/** A move of a power, and what the lap comes to with it. */
interface Move {
  readonly stage: number;
  /** Share of the store's limit that the power is moved to; of the start, its energy [J] */
  readonly share: number;
  /** Of the whole lap [J of fuel] */
  readonly cost: number;
  /** Energy at the end above that at the start [J] */
  readonly gap: number;
}

/**
 * A lap whose store's power can be moved by any amount. A search tries a few levels of power, and so its
 * laps end a little above or below where they began. On a short trace that little is worth more than
 * what tells one lap from another. Here the power beside a running engine is moved, in the interval
 * where it costs least, until the lap ends as full as it began; or, where every interval can be tried,
 * the energy at the start, since an emptier store has less drag. All other wishes stay: as shares of what
 * the store can give or take, since its energy is another one behind the move.
 */
export class ClosingLap {
  /** Cost of the lap as it stands [J of fuel] */
  cost = 0;
  /** Energy at its end above that at its start [J] */
  gap = 0;
  private readonly stages: RoadStages;
  private readonly rotor: Rotor;
  /** Energy at the start [J] */
  private energy: number;
  private readonly top: number;
  private tolerance = 0;
  /** Of the limit in its direction: 1 for all that the store can give, −1 for all that it can take */
  private readonly share: Float64Array;
  /** Energy that the larger limit moves in the interval [J] */
  private readonly span: Float64Array;
  private readonly engineOn: Uint8Array;
  private readonly clutched: Uint8Array;
  /** Whether the engine drives in gear, so that the store may give and take what it likes */
  private readonly movable: Uint8Array;
  /** State and cost at each instant */
  private readonly states: State[];
  private readonly costs: Float64Array;
  private readonly state: State;
  private readonly want = newWant();

  /**
   * @param stages
   * @param rotor
   * @param start state at the start
   * @param decisions of the lap, as `Road.take` knows them
   */
  constructor(stages: RoadStages, rotor: Rotor, start: Readonly<State>, decisions: Uint8Array) {
    const { count } = stages;
    this.stages = stages;
    this.rotor = rotor;
    this.energy = rotorEnergy(rotor, start.rotorSpeed);
    this.top = rotorEnergy(rotor, rotor.maxSpeed);
    this.share = new Float64Array(count);
    this.span = new Float64Array(count);
    this.engineOn = new Uint8Array(count);
    this.clutched = new Uint8Array(count);
    this.movable = new Uint8Array(count);
    this.states = Array.from({ length: count + 1 }, () => copyState(start));
    this.costs = new Float64Array(count + 1);
    this.state = copyState(start);
    this.read(decisions);
  }

  private read(decisions: Uint8Array): void {
    const { stages, state, want } = this;
    for (let k = 0; k < stages.count; k++) {
      const { assistLimit, recoverLimit } = stages.lookAt(k, state);
      stages.readOffer(decisions[k]!, want);
      const { storePower } = want;
      const limit = storePower > 0 ? assistLimit : recoverLimit;
      this.share[k] = storePower === 0 ? 0 : storePower / limit;
      this.span[k] = Math.max(assistLimit, recoverLimit) * stages.step.dt;
      this.engineOn[k] = want.engineOn ? 1 : 0;
      this.clutched[k] = want.clutched ? 1 : 0;
      this.costs[k + 1] = this.costs[k]! + stages.settleWish(want, state);
      const { step } = stages;
      this.movable[k] = step.clutched && step.wheel > 0 && step.store < step.wheel ? 1 : 0;
      assignState(this.states[k + 1]!, state);
    }
    this.end(state);
  }

  private end(state: Readonly<State>): void {
    this.cost = this.costs[this.stages.count]!;
    this.tolerance = CLOSED * Math.abs(this.cost);
    this.gap = rotorEnergy(this.rotor, state.rotorSpeed) - this.energy;
  }

  /**
   * Moves powers until the lap ends as full as it began, or, where it ends fuller, for as long as that
   * saves fuel.
   * @returns whether it ends at least as full as it began
   */
  close(): boolean {
    for (let moves = 0; moves < MOST_MOVES && !this.isClosed; moves++) {
      const move = this.cheapest();
      if (move === undefined || (this.gap > 0 && move.cost >= this.cost)) break;
      this.make(move);
    }
    return this.gap >= 0;
  }

  /** State at the start. */
  get start(): Readonly<State> {
    return this.states[0]!;
  }

  private get isClosed(): boolean {
    return this.gap >= 0 && this.gap <= this.tolerance;
  }

  /** Writes the wishes of the lap. */
  write(plan: Plan): void {
    const { stages, state } = this;
    assignState(state, this.states[0]!);
    for (let k = 0; k < stages.count; k++) {
      this.takeOne(k, this.share[k]!, state);
      plan.note(k, this.want);
    }
  }

  /** The move that brings the lap nearer to closing at the least fuel for each joule; undefined without. */
  private cheapest(): Move | undefined {
    const { stages, movable, share, gap } = this;
    const direction = gap > 0 ? 1 : -1;
    let best: Move | undefined;
    let least = Number.POSITIVE_INFINITY;
    for (let k = Math.max(START, stages.count - MOVABLE); k < stages.count; k++) {
      if (k !== START && (movable[k] === 0 || share[k] === direction)) continue;
      const move = this.tryShare(k, this.farShare(k, direction));
      const moved = direction * (gap - move.gap);
      const price = (move.cost - this.cost) / moved;
      if (!(moved > WORTHWHILE * Math.abs(gap)) || price >= least) continue;
      least = price;
      best = move;
    }
    return best === undefined || best.gap * gap >= 0 ? best : this.closingMove(best);
  }

  /** How far a share is moved at once: about as far as the lap needs to close, or to its limit. */
  private farShare(stage: number, direction: number): number {
    const { energy, top, gap, share, span } = this;
    if (stage === START) {
      const step = Math.min(START_PER_GAP * Math.abs(gap), START_REACH * top);
      return Math.min(Math.max(energy + direction * step, 0), top);
    }
    const step = (AMPLE * Math.abs(gap)) / span[stage]!;
    return Math.min(Math.max(share[stage]! + direction * step, -1), 1);
  }

  /** Goes back on a move that went too far, to where the lap closes. */
  private closingMove(far: Move): Move {
    const { stage } = far;
    const share = stage === START ? this.energy : this.share[stage]!;
    const before = { stage, share, cost: this.cost, gap: this.gap };
    let above = this.gap > 0 ? before : far;
    let below = this.gap > 0 ? far : before;
    // Regula falsi (Illinois, from memory), aimed at the middle of what counts as closed.
    let high = above.gap;
    let low = below.gap;
    let last = 0;
    for (let step = 0; step < MOST_STEPS; step++) {
      const move = this.tryShare(stage, (above.share * low - below.share * high) / (low - high));
      if (move.gap >= 0 && move.gap <= this.tolerance) return move;
      const miss = move.gap - 0.5 * this.tolerance;
      if (miss > 0) {
        above = move;
        high = miss;
        if (last > 0) low *= 0.5;
      } else {
        below = move;
        low = miss;
        if (last < 0) high *= 0.5;
      }
      last = miss;
    }
    return above;
  }

  /** What the lap would cost with another power in one interval, and where it would end. */
  private tryShare(stage: number, share: number): Move {
    const { stages, state, costs, rotor } = this;
    let { energy } = this;
    let cost = 0;
    if (stage === START) {
      energy = share;
      assignState(state, this.states[0]!);
      state.rotorSpeed = rotorSpeed(rotor, energy);
    } else {
      assignState(state, this.states[stage]!);
      cost = costs[stage]! + this.takeOne(stage, share, state);
    }
    for (let k = stage + 1; k < stages.count; k++) cost += this.takeOne(k, this.share[k]!, state);
    return { stage, share, cost, gap: rotorEnergy(rotor, state.rotorSpeed) - energy };
  }

  private make({ stage, share }: Move): void {
    const { stages, state, costs } = this;
    if (stage === START) {
      this.energy = share;
      this.states[0]!.rotorSpeed = rotorSpeed(this.rotor, share);
    } else this.share[stage] = share;
    const first = Math.max(0, stage);
    assignState(state, this.states[first]!);
    for (let k = first; k < stages.count; k++) {
      costs[k + 1] = costs[k]! + this.takeOne(k, this.share[k]!, state);
      assignState(this.states[k + 1]!, state);
    }
    this.end(state);
  }

  /** Drives one interval; leaves its wish in `want`. */
  private takeOne(stage: number, share: number, state: State): number {
    const { stages, want } = this;
    const { assistLimit, recoverLimit } = stages.lookAt(stage, state);
    const power = share * (share > 0 ? assistLimit : recoverLimit);
    want.storePower = power === 0 ? 0 : power;
    want.engineOn = this.engineOn[stage] === 1;
    want.clutched = this.clutched[stage] === 1;
    return stages.settleWish(want, state);
  }
}
