import { type Rotor, rotorEnergy, rotorSpeed } from '../physics/rotor.ts';
import { assignState, copyState, type State } from '../simulate/state.ts';
import { newWant } from '../strategy/contract.ts';
import type { Plan } from './replay.ts';
import type { RoadStages } from './road-stages.ts';

/** Intervals at the end of a lap whose power may be moved: each of them is tried by driving on from it. */
const MOVABLE = 250;

/** Powers that are moved, one after another, before a lap is given up as one that does not close. */
const MOST_MOVES = 6;

/** A lap closes when it ends no more than this above its start, over the greatest energy. */
const CLOSED = 1e-7;

/** Number of the move of the energy at the start, among those of the intervals, and how far it goes. */
const START = -1;
const START_REACH = 0.02;

/** Steps of the search for the power with which a lap closes. */
const MOST_STEPS = 30;

/** What a move brings: the power's share with which it does, what it costs, how it makes the lap end. */
interface Move {
  readonly stage: number;
  readonly share: number;
  /** [J of fuel] */
  readonly cost: number;
  /** Energy at the end above that at the start [J] */
  readonly gap: number;
}

/**
 * A lap whose store's power can be moved by any amount. A search tries a few levels of power, and so its
 * laps end a little above or below where they began. On a short trace that little is worth more than
 * what tells one lap from another. Here the power beside a running engine is moved, in the interval
 * where it costs least, until the lap ends as full as it began. All other wishes stay: as shares of what
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
  private readonly tolerance: number;
  /** Of the limit in its direction: 1 for all that the store can give, −1 for all that it can take */
  private readonly share: Float64Array;
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
    this.tolerance = CLOSED * this.top;
    this.share = new Float64Array(count);
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
    this.gap = rotorEnergy(this.rotor, state.rotorSpeed) - this.energy;
  }

  /**
   * Moves powers until the lap closes.
   * @returns whether it does
   */
  close(): boolean {
    for (let moves = 0; moves < MOST_MOVES && !this.isClosed; moves++) {
      const move = this.cheapest();
      if (move === undefined) break;
      this.make(move);
    }
    return this.isClosed;
  }

  /** State at the start. */
  get start(): Readonly<State> {
    return this.states[0]!;
  }

  get isClosed(): boolean {
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
    const extreme = gap > 0 ? 1 : -1;
    let best: Move | undefined;
    let least = Number.POSITIVE_INFINITY;
    const weigh = (move: Move) => {
      const moved = Math.abs(gap - move.gap);
      if (!(moved > 0) || Math.abs(move.gap) >= Math.abs(gap)) return;
      const price = (move.cost - this.cost) / moved;
      if (price >= least) return;
      least = price;
      best = move;
    };
    weigh(this.closingMove(START, extreme));
    for (let k = Math.max(0, stages.count - MOVABLE); k < stages.count; k++) {
      if (movable[k] === 1 && share[k] !== extreme) weigh(this.closingMove(k, extreme));
    }
    return best;
  }

  /** Moves a power as far as the lap needs to close, or to its limit. */
  private closingMove(stage: number, extreme: number): Move {
    let share = stage === START ? this.energy + extreme * START_REACH * this.top : extreme;
    if (stage === START) share = Math.min(Math.max(share, 0), this.top);
    const far = this.tryShare(stage, share);
    if (far.gap * this.gap > 0) return far;
    const before = { share: stage === START ? this.energy : this.share[stage]!, gap: this.gap };
    // Regula falsi between a share that ends above and one that ends below (Illinois, from memory).
    let above = before.gap > 0 ? before : far;
    let below = before.gap > 0 ? far : before;
    let move = far;
    let kept = 0;
    let aboveGap = above.gap;
    let belowGap = below.gap;
    for (let step = 0; step < MOST_STEPS; step++) {
      share = (above.share * belowGap - below.share * aboveGap) / (belowGap - aboveGap);
      // Aim a little above, where the lap counts as closed.
      move = this.tryShare(stage, share);
      const gap = move.gap - 0.5 * this.tolerance;
      if (move.gap >= 0 && move.gap <= this.tolerance) return move;
      if (gap > 0) {
        above = move;
        aboveGap = gap;
        if (kept > 0) belowGap *= 0.5;
        kept = 1;
      } else {
        below = move;
        belowGap = gap;
        if (kept < 0) aboveGap *= 0.5;
        kept = -1;
      }
    }
    return move;
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
