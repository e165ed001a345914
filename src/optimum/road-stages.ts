import { rotorEnergy, rotorSpeed } from '../physics/rotor.ts';
import type { Store } from '../physics/store.ts';
import type { Car } from '../simulate/car.ts';
import type { Demand } from '../simulate/demand.ts';
import { DEBT_TO_STOP, Interval } from '../simulate/interval.ts';
import { assignState, initialState, type State } from '../simulate/state.ts';
import type { Step } from '../simulate/step.ts';
import type { Want } from '../strategy/contract.ts';
import type { Course } from './course.ts';
import type { Stages, Taker, Values } from './dynamic-programming.ts';
import { ENGINE, ENGINES, Lanes } from './lanes.ts';
import { type Levels, Offers } from './offers.ts';
import { Settled } from './settled.ts';

/**
 * Fuel energy for each joule of shortfall, far above any way to avoid one, a start of the engine
 * included: a car that could follow the trace does.
 */
const SHORTFALL_PRICE = 1e3;

/** Starts of the engine that a debt may have grown by beside the electrical load. */
const STARTS_AT_ONCE = 4;

/** How far from a known lap's debt others are taken into account, over the debt's limit. */
const DEBT_REACH = 0.15;

/**
 * A trace as a problem of dynamic programming: x is the energy of the rotor, lanes are the states of
 * engine and battery, and every decision is settled by the simulator's own physics of an interval.
 * Costs are fuel energy [J]: what is burned, and what the battery is owed at its price.
 */
export class RoadStages implements Stages {
  readonly count: number;
  readonly lanes: number;
  /** The decision that is being offered: the state it ends in, and its cost alone [J] */
  readonly reached: State;
  paid = 0;
  course: Course;
  /** Called whenever another stage is worked on */
  onStage: (() => void) | undefined;

  private readonly car: Car;
  private readonly store: Store;
  private readonly demand: Demand;
  private readonly laneTable: Lanes;
  private readonly interval: Interval;
  private readonly offers: Offers;
  /** Speed of an engine in gear at each instant [rad/s] */
  private readonly gearedSpeed: Float64Array;
  private readonly want: Want = { storePower: 0, engineOn: true, clutched: true };
  private readonly from: State;
  private readonly settled: Settled;
  /** Whether what the interval looked at is still there */
  private looked = false;
  /** Takes the least cost of each lane, the cost to go with it */
  private least: Float64Array = new Float64Array();
  private readonly place = new Float64Array(5);
  private visited = -1;
  /** Indices of the first and the last node of the debt that count at each instant */
  private readonly debtLow: Uint8Array;
  private readonly debtHigh: Uint8Array;

  /**
   * @param car with the store fitted
   * @param store
   * @param demand of the whole trace, all of it held
   * @param levels of the store's power that are tried
   * @param course
   */
  constructor(car: Car, store: Store, demand: Demand, levels: Levels, course: Course) {
    this.car = car;
    this.store = store;
    this.demand = demand;
    this.count = demand.count;
    this.course = course;
    this.laneTable = new Lanes(car.engine.restart, car.electrics, demand.dt);
    this.lanes = this.laneTable.count;
    this.interval = new Interval(car, store);
    this.offers = new Offers(levels);
    this.settled = new Settled(this.offers.most);
    this.from = initialState(car, store);
    this.reached = initialState(car, store);
    this.gearedSpeed = this.measureGearedSpeed();
    this.debtLow = new Uint8Array(this.count + 1);
    this.debtHigh = new Uint8Array(this.count + 1);
    this.openAll();
  }

  /** Takes all debts into account that there can be: they grow from nothing at the start. */
  openAll(): void {
    const { electrics, engine } = this.car;
    const { restart } = engine;
    const growth = electrics.load / electrics.batteryEfficiency;
    const starts = (STARTS_AT_ONCE * restart.electricalEnergy) / electrics.batteryEfficiency;
    let longest = 0;
    for (let k = 0; k <= this.count; k++) {
      if (k > 0) longest += this.demand.dt[k - 1]! * growth;
      this.openDebts(k, 0, starts + longest);
    }
  }

  /**
   * Takes into account only debts that are near those of a lap.
   * @param debts of the lap at each instant [J]
   */
  openAlong(debts: Float64Array): void {
    const reach = DEBT_REACH * this.car.electrics.debtLimit;
    for (let k = 0; k <= this.count; k++) this.openDebts(k, debts[k]! - reach, debts[k]! + reach);
  }

  private openDebts(instant: number, low: number, high: number): void {
    this.debtLow[instant] = this.laneTable.debtBelow(instant, low);
    this.debtHigh[instant] = this.laneTable.debtBelow(instant, high) + 1;
  }

  open(stage: number, lane: number): boolean {
    const index = this.laneTable.debtIndex(lane);
    return index >= this.debtLow[stage]! && index <= this.debtHigh[stage]!;
  }

  /** What an engine in gear turns at, asked of the physics itself. */
  private measureGearedSpeed(): Float64Array {
    const { interval, demand, reached, want } = this;
    const speeds = new Float64Array(this.count + 1).fill(this.car.engine.idleSpeed);
    const start = initialState(this.car, this.store);
    for (let k = 0; k < this.count; k++) {
      assignState(reached, start);
      interval.look(demand, k, reached);
      interval.settle(want, reached);
      speeds[k + 1] = reached.engineSpeed;
    }
    return speeds;
  }

  private visit(stage: number): void {
    if (stage === this.visited) return;
    this.visited = stage;
    if (this.onStage !== undefined) this.onStage();
  }

  /**
   * Works out the least cost from each lane that counts. What a decision leads to does not hang on how
   * long ago the engine started or stopped, nor on a debt that is repaid as fast as can be: these only
   * tell whether it may be taken. It is settled once for all of them.
   */
  weigh(stage: number, x: number, values: Values, least: Float64Array): void {
    const high = this.debtHigh[stage]!;
    this.visit(stage);
    this.least = least;
    for (let engine = 0; engine < ENGINES; engine++) {
      let index = this.debtLow[stage]!;
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
      const lane = kind * laneTable.debtCount + first;
      this.weighAll(stage, lane, last - first, this.stateAt(stage, lane, x), values);
    }
  }

  /** Finds the least costs of all decisions for a lane and others that follow it. */
  private weighAll(
    stage: number,
    lane: number,
    others: number,
    from: Readonly<State>,
    values: Values,
  ): void {
    const { interval, offers, want, settled, laneTable, least } = this;
    if (settled.count === 0) this.lookFrom(stage, from);
    else interval.lookAtPermission(from);
    offers.make(interval.view);
    for (let i = lane; i <= lane + others; i++) least[i] = Number.POSITIVE_INFINITY;
    settled.turn++;
    for (let i = 0; i < offers.count; i++) {
      offers.read(i, want);
      const on = interval.wouldRun(want, from);
      let known = settled.find(want, on);
      if (known < 0) known = this.settle(stage, from, on, values);
      if (settled.weighed[known] === settled.turn) continue;
      settled.weighed[known] = settled.turn;
      const dt = this.demand.dt[stage]!;
      const age = settled.same[known] === 1 ? from.engineTime + dt : settled.age[known]!;
      laneTable.findAge(settled.engine[known]!, age);
      this.weighOne(stage, lane, others, known, values);
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
    settled.age[i] = reached.engineTime;
    settled.same[i] = reached.engineOn === from.engineOn ? 1 : 0;
    values.locate(next, rotorEnergy(this.store.rotor, reached.rotorSpeed), settled.place, 5 * i);
    return i;
  }

  /**
   * Lowers the least cost of each debt to that of a decision.
   * @param stage
   * @param lane of the first debt
   * @param others how many debts follow it
   * @param known number of the decision; the age it leads to was found in the table of lanes
   */
  private weighOne(
    stage: number,
    lane: number,
    others: number,
    known: number,
    values: Values,
  ): void {
    const { laneTable, settled, least } = this;
    const { place } = settled;
    const { lane: reachedLane, older } = laneTable;
    const next = stage + 1;
    const low = this.debtLow[next]!;
    const high = this.debtHigh[next]!;
    const first = laneTable.debtIndex(lane);
    const last = first + others;
    const cost = settled.cost[known]!;
    const debtChange = settled.debtChange[known]!;
    const at = 5 * known;
    // Index of the lane with no debt, so that least[base + index] is that of a debt.
    const base = lane - first;
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
      const lane = reachedLane + from + moved;
      values.lower(next, lane, place, at, more, cost, least, base + from, base + to);
    }
    const debt = laneTable.debt(stage, lane);
    for (let index = first; index <= last; index++) {
      if (index === from) index = to + 1;
      if (index > last) break;
      const owed = debt + (index - first) * laneTable.step + debtChange;
      const total = cost + this.valueAt(next, owed, reachedLane, older, values, place, at);
      if (total < least[base + index]!) least[base + index] = total;
    }
  }

  /** Cost to go at an instant, of a debt, from the first lane of an age and a share of the next age. */
  private valueAt(
    instant: number,
    debt: number,
    lane: number,
    older: number,
    values: Values,
    place: Float64Array,
    at: number,
  ): number {
    const { laneTable } = this;
    const { debtCount } = laneTable;
    const low = this.debtLow[instant]!;
    const a = lane + laneTable.findDebt(instant, debt, low, this.debtHigh[instant]!);
    const { more } = laneTable;
    let toGo = values.read(instant, a, place, at);
    if (more !== 0) toGo += more * (values.read(instant, a + 1, place, at) - toGo);
    if (older === 0) return toGo;
    let aged = values.read(instant, a + debtCount, place, at);
    if (more !== 0) aged += more * (values.read(instant, a + debtCount + 1, place, at) - aged);
    return toGo + older * (aged - toGo);
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

  /** State that a lane and an energy stand for: one object, written again by the next question. */
  stateAt(stage: number, lane: number, x: number): Readonly<State> {
    const { from, laneTable } = this;
    const engine = laneTable.engine(lane);
    from.rotorSpeed = rotorSpeed(this.store.rotor, x);
    from.engineOn = engine !== ENGINE.off;
    from.engineTime = laneTable.age(lane);
    if (engine === ENGINE.inGear) from.engineSpeed = this.gearedSpeed[stage]!;
    else from.engineSpeed = engine === ENGINE.off ? 0 : this.car.engine.idleSpeed;
    from.runningTime = this.course.runningTime[stage]!;
    from.batteryDebt = laneTable.debt(stage, lane);
    return from;
  }

  private warmthOf(instant: number, state: Readonly<State>): number {
    const { warmth, runningTime } = this.course;
    return warmth[instant]! * (state.runningTime - runningTime[instant]!);
  }

  /**
   * Offers every decision from a state, each with its cost and the cost to go behind it.
   * @param stage from 0
   * @param state at its start
   * @param values costs to go
   * @param taker takes the offers; it finds `reached` and `paid` set
   */
  tryFrom(stage: number, state: Readonly<State>, values: Values, taker: Taker): void {
    const { interval, offers, reached, want } = this;
    this.visit(stage);
    assignState(reached, state);
    interval.look(this.demand, stage, reached);
    offers.make(interval.view);
    for (let i = 0; i < offers.count; i++) {
      offers.read(i, want);
      if (i > 0) assignState(reached, state);
      interval.settle(want, reached);
      this.paid = this.cost();
      taker.offer(this.paid + this.toGo(stage + 1, reached, values), i);
    }
  }

  /**
   * Settles one of the decisions that `tryFrom` offers.
   * @param stage from 0
   * @param state at its start; at its end on return
   * @param decision number of the offer
   * @param want the wish that stands behind it
   * @returns cost [J]
   */
  take(stage: number, state: State, decision: number, want: Want): number {
    this.interval.look(this.demand, stage, state);
    this.offers.make(this.interval.view);
    this.offers.read(decision, want);
    this.interval.settle(want, state);
    return this.cost();
  }

  /** Settles a wish of whatever origin, as `take` does one of the offers. */
  takeWish(stage: number, state: State, want: Want): number {
    this.interval.look(this.demand, stage, state);
    this.interval.settle(want, state);
    return this.cost();
  }

  /** The interval that was settled last. */
  get step(): Readonly<Step> {
    return this.interval.step;
  }

  private cost(): number {
    const { step } = this.interval;
    const power = step.fuel + this.course.debtPrice * step.debtChange;
    return step.dt * (power + SHORTFALL_PRICE * step.shortfall);
  }

  /**
   * Cost to go from the state that the last interval ended in.
   * @returns [J]
   */
  toGo(instant: number, state: Readonly<State>, values: Values): number {
    const { laneTable, place } = this;
    values.locate(instant, rotorEnergy(this.store.rotor, state.rotorSpeed), place);
    laneTable.findAge(this.engineOf(state), state.engineTime);
    const { lane, older } = laneTable;
    const cost = this.valueAt(instant, state.batteryDebt, lane, older, values, place, 0);
    return cost + this.warmthOf(instant, state);
  }

  /** Lane in which a lap begins. */
  get startLane(): number {
    return this.laneTable.startLane;
  }

  /** Number that tells apart what the engine does in the state that the last interval ended in. */
  kind(state: Readonly<State>): number {
    return this.laneTable.kind(this.engineOf(state), state.engineTime);
  }

  /** How many of them there are. */
  get kinds(): number {
    return this.laneTable.kinds;
  }

  private engineOf(state: Readonly<State>): number {
    if (!state.engineOn) return ENGINE.off;
    return this.interval.step.clutched ? ENGINE.inGear : ENGINE.idling;
  }
}
