import type { Store } from '../physics/store.ts';
import type { Car } from '../simulate/car.ts';
import type { Demand } from '../simulate/demand.ts';
import { DEBT_TO_STOP } from '../simulate/interval.ts';
import { assignState, type State } from '../simulate/state.ts';
import type { Course } from './course.ts';
import type { Stages } from './dynamic-programming.ts';
import { ENGINES } from './lanes.ts';
import { LEVELS, type Levels, Offers } from './offers.ts';
import { Road } from './road.ts';
import { Settled } from './settled.ts';
import type { Values } from './values.ts';

/**
 * A road as a problem of dynamic programming: x is the speed of the rotor, lanes are the states of
 * engine and battery. Nodes that are even in speed lie close together in energy where there is little,
 * and whether the store just carries the car to the next stop is decided there.
 */
export class RoadStages extends Road implements Stages {
  private readonly settled: Settled;
  /**
   * What the costs to go are worked out with. They lead a search that tries more levels of power, and
   * lead it as well without these.
   */
  private readonly weighed = new Offers(LEVELS);
  /** Whether what the interval looked at is still there */
  private looked = false;
  /** Takes the least cost of each lane, the cost to go with it */
  private least: Float64Array = new Float64Array();

  constructor(car: Car, store: Store, demand: Demand, levels: Levels, course: Course) {
    super(car, store, demand, levels, course);
    this.settled = new Settled(this.weighed.most);
  }

  /**
   * Works out the least cost from each lane that counts. What a decision leads to does not hang on how
   * long ago the engine started or stopped, nor on a debt that is repaid as fast as can be: these only
   * tell whether it may be taken. It is settled once for all of them.
   */
  weigh(stage: number, x: number, values: Values, least: Float64Array): void {
    const high = this.debts.high[stage]!;
    this.visit(stage);
    this.least = least;
    least.fill(Number.POSITIVE_INFINITY);
    for (let engine = 0; engine < ENGINES; engine++) {
      let index = this.debts.low[stage]!;
      for (; index <= high && this.owing(stage, index) === 0; index++) {
        this.settled.count = 0;
        this.weighAges(stage, x, engine, index, index, values);
      }
      this.settled.count = 0;
      while (index <= high) {
        const first = index;
        const owing = this.owing(stage, first);
        do index++;
        while (index <= high && this.owing(stage, index) === owing);
        this.weighAges(stage, x, engine, first, index - 1, values);
      }
    }
  }

  /** Finds the least costs of debts that permit the same, for all ages of an engine. */
  private weighAges(
    stage: number,
    x: number,
    engine: number,
    first: number,
    last: number,
    values: Values,
  ): void {
    const { laneTable } = this;
    const end = laneTable.firstKind(engine + 1);
    for (let kind = laneTable.firstKind(engine); kind < end; kind++) {
      this.weighAll(stage, kind, first, last, this.stateAt(stage, kind, first, x), values);
    }
  }

  /** Finds the least costs of all decisions for debts of a kind of engine. */
  private weighAll(
    stage: number,
    kind: number,
    first: number,
    last: number,
    from: Readonly<State>,
    values: Values,
  ): void {
    const { interval, weighed: offers, want, settled, laneTable } = this;
    if (settled.count === 0) this.lookFrom(stage, from);
    else interval.lookAtPermission(from);
    offers.make(interval.view);
    // Lane of the debt with index 0, so that least[base + index] is that of a debt.
    const base = kind * this.debts.width - this.debts.low[stage]!;
    settled.turn++;
    for (let i = 0; i < offers.count; i++) {
      offers.read(i, want);
      const on = interval.wouldRun(want, from);
      let known = settled.find(want, on);
      if (known < 0) known = this.settle(stage, from, on, values);
      if (settled.weighed[known] === settled.turn) continue;
      settled.weighed[known] = settled.turn;
      const dt = this.demand.dt[stage]!;
      const age = on === from.engineOn ? from.engineTime + dt : dt;
      const reached = laneTable.findAge(settled.engine[known]!, age);
      this.weighOne(stage, base, first, last, known, reached, values);
    }
  }

  private lookFrom(stage: number, from: Readonly<State>): void {
    assignState(this.reached, from);
    this.interval.look(this.demand, stage, this.reached);
    this.looked = true;
  }

  /** Settles the wish; returns its number. */
  private settle(stage: number, from: Readonly<State>, on: boolean, values: Values): number {
    const { interval, reached, want, settled } = this;
    // An engine that idled took the place of the one in gear that was looked at.
    if (!this.looked) this.lookFrom(stage, from);
    assignState(reached, from);
    interval.settle(want, reached);
    const { step } = interval;
    if (step.engineOn && !step.clutched) this.looked = false;
    const i = settled.add(want, on);
    const next = stage + 1;
    settled.cost[i] = this.cost() + this.warmthOf(next, reached);
    settled.debtChange[i] = step.debtChange * step.dt;
    settled.engine[i] = this.engineOf(reached);
    values.locate(next, reached.rotorSpeed, settled.place, 5 * i);
    return i;
  }

  /**
   * Lowers the least cost of each debt to that of a decision.
   * @param stage
   * @param base lane that a debt with index 0 has, or would have
   * @param first index of the first debt
   * @param last index of the last one
   * @param known number of the decision
   * @param reached kind of engine it leads to; the share of the next was found with it
   */
  private weighOne(
    stage: number,
    base: number,
    first: number,
    last: number,
    known: number,
    reached: number,
    values: Values,
  ): void {
    const { laneTable, settled, least, debts } = this;
    const { place } = settled;
    const { older } = laneTable;
    const next = stage + 1;
    const low = debts.low[next]!;
    const high = debts.high[next]!;
    const cost = settled.cost[known]!;
    const debtChange = settled.debtChange[known]!;
    const at = 5 * known;
    // The nodes of both instants are as far from each other: what holds for one debt holds for all
    // but the one at nothing, and those that come to lie outside.
    const moved = laneTable.move(stage, debtChange);
    const { more } = laneTable;
    let from = Math.max(first, 1, low - moved, 1 - moved);
    let to = Math.min(last, high - 1 - moved);
    if (older > 0 || from > to) {
      from = last + 1;
      to = last;
    } else {
      const lane = reached * debts.width + from + moved - low;
      values.lower(next, lane, place, at, more, cost, least, base + from, base + to);
    }
    const debt = laneTable.debt(stage, first);
    for (let index = first; index <= last; index++) {
      if (index === from) index = to + 1;
      if (index > last) break;
      const owed = debt + (index - first) * laneTable.step + debtChange;
      const total = cost + this.valueAt(next, owed, reached, older, values, place, at);
      if (total < least[base + index]!) least[base + index] = total;
    }
  }

  /**
   * How a debt bears on an interval: not by its amount, as long as it is repaid as fast as can be, but
   * by what it permits the engine. 0 where the amount itself matters.
   */
  private owing(stage: number, index: number): number {
    const debt = this.laneTable.debt(stage, index);
    const { rechargeLimit, debtLimit } = this.car.electrics;
    if (debt < rechargeLimit * this.demand.dt[stage]!) return 0;
    if (debt < DEBT_TO_STOP * debtLimit) return 1;
    return debt < debtLimit ? 2 : 3;
  }
}
