import type { Store } from '../physics/store.ts';
import type { Car } from '../simulate/car.ts';
import type { Demand } from '../simulate/demand.ts';
import { Interval } from '../simulate/interval.ts';
import { assignState, initialState, type State } from '../simulate/state.ts';
import type { Step } from '../simulate/step.ts';
import type { View, Want } from '../strategy/contract.ts';
import type { Course } from './course.ts';
import type { Taker } from './dynamic-programming.ts';
import { ENGINE, Lanes } from './lanes.ts';
import { type Levels, Offers } from './offers.ts';
import { OpenDebts } from './open-debts.ts';
import type { Values } from './values.ts';

/**
 * Fuel energy for each joule of shortfall, far above any way to avoid one, a start of the engine
 * included: a car that could follow the trace does.
 */
const SHORTFALL_PRICE = 1e3;

/**
 * A trace as a chain of decisions, each settled by the simulator's own physics of an interval, from a
 * state that is really reached or from one that a lane and a rotor's speed stand for. Costs are fuel
 * energy [J]: what is burned, and what the battery is owed at its price.
 */
export class Road {
  readonly count: number;
  /** The decision that is being offered: the state it ends in, and its cost alone [J] */
  readonly reached: State;
  paid = 0;
  course: Course;
  /** Called whenever another stage is worked on */
  onStage: (() => void) | undefined;

  protected readonly car: Car;
  protected readonly store: Store;
  protected readonly demand: Demand;
  protected readonly laneTable: Lanes;
  protected readonly interval: Interval;
  protected readonly offers: Offers;
  /** Speed of an engine in gear at each instant [rad/s] */
  private readonly gearedSpeed: Float64Array;
  protected readonly want: Want = { storePower: 0, engineOn: true, clutched: true };
  private readonly from: State;
  /** Debts of the battery that are taken into account */
  readonly debts: OpenDebts;
  private readonly place = new Float64Array(5);
  private visited = -1;

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
    this.interval = new Interval(car, store);
    this.offers = new Offers(levels);
    this.from = initialState(car, store);
    this.reached = initialState(car, store);
    this.gearedSpeed = this.measureGearedSpeed();
    this.debts = new OpenDebts(this.laneTable, car, demand.dt);
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

  /** Lanes of the debts that count. */
  get lanes(): number {
    return this.laneTable.kinds * this.debts.width;
  }

  protected visit(stage: number): void {
    if (stage === this.visited) return;
    this.visited = stage;
    if (this.onStage !== undefined) this.onStage();
  }

  /** Cost to go at an instant, of a debt, from a kind of engine and a share of the next, older one. */
  protected valueAt(
    instant: number,
    debt: number,
    kind: number,
    older: number,
    values: Values,
    place: Float64Array,
    at: number,
  ): number {
    const { laneTable } = this;
    const { low, high, width } = this.debts;
    const first = low[instant]!;
    const a = kind * width + laneTable.findDebt(instant, debt, first, high[instant]!) - first;
    const { more } = laneTable;
    let toGo = values.read(instant, a, place, at);
    if (more !== 0) toGo += more * (values.read(instant, a + 1, place, at) - toGo);
    if (older === 0) return toGo;
    let aged = values.read(instant, a + width, place, at);
    if (more !== 0) aged += more * (values.read(instant, a + width + 1, place, at) - aged);
    return toGo + older * (aged - toGo);
  }

  /**
   * State that a kind of engine, a node of the debt and a rotor's speed stand for: one object, written
   * again by the next question.
   */
  stateAt(stage: number, kind: number, debt: number, x: number): Readonly<State> {
    const { from, laneTable } = this;
    const engine = laneTable.engine(kind);
    from.rotorSpeed = x;
    from.engineOn = engine !== ENGINE.off;
    from.engineTime = laneTable.age(kind);
    if (engine === ENGINE.inGear) from.engineSpeed = this.gearedSpeed[stage]!;
    else from.engineSpeed = engine === ENGINE.off ? 0 : this.car.engine.idleSpeed;
    from.runningTime = this.course.runningTime[stage]!;
    from.batteryDebt = laneTable.debt(stage, debt);
    return from;
  }

  /**
   * Fuel to come of a state beyond that of the course, for an engine that has run longer or shorter. The
   * extra friction is proportional to e^(−t/T), t the running time and T its time constant. So the fuel
   * that it will still take along the course, −T · warmth, changes by the factor e^(−Δt/T), whatever Δt.
   * That is exact for the wishes of the course and fuel that rises linearly with the load.
   * @returns [J], below 0 for an engine that has run longer
   */
  protected warmthOf(instant: number, state: Readonly<State>): number {
    const { warmth, runningTime } = this.course;
    const slope = warmth[instant]!;
    if (slope === 0) return 0;
    const { timeConstant } = this.car.engine.warmUp;
    return (
      -slope * timeConstant * Math.expm1((runningTime[instant]! - state.runningTime) / timeConstant)
    );
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
    this.lookAt(stage, state);
    this.readOffer(decision, want);
    return this.settleWish(want, state);
  }

  /** Settles a wish of whatever origin, as `take` does one of the offers. */
  takeWish(stage: number, state: State, want: Want): number {
    this.lookAt(stage, state);
    return this.settleWish(want, state);
  }

  /** What may be done in an interval from a state; written again by the next look. */
  lookAt(stage: number, state: State): Readonly<View> {
    this.interval.look(this.demand, stage, state);
    return this.interval.view;
  }

  /** Writes one of the offers of the interval that was looked at into a wish. */
  readOffer(decision: number, want: Want): void {
    this.offers.make(this.interval.view);
    this.offers.read(decision, want);
  }

  /** Settles a wish in the interval that was looked at; returns its cost [J]. */
  settleWish(want: Want, state: State): number {
    this.interval.settle(want, state);
    return this.cost();
  }

  /** The interval that was settled last. */
  get step(): Readonly<Step> {
    return this.interval.step;
  }

  protected cost(): number {
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
    values.locate(instant, state.rotorSpeed, place);
    const kind = laneTable.findAge(this.engineOf(state), state.engineTime);
    const { older } = laneTable;
    const cost = this.valueAt(instant, state.batteryDebt, kind, older, values, place, 0);
    return cost + this.warmthOf(instant, state);
  }

  /** Lane in which a lap begins: an engine that has just begun to idle, with nothing owed. */
  get startLane(): number {
    return this.laneTable.kind(ENGINE.idling, 0) * this.debts.width;
  }

  /** Number that tells apart what the engine does in the state that the last interval ended in. */
  kind(state: Readonly<State>): number {
    return this.laneTable.kind(this.engineOf(state), state.engineTime);
  }

  /** How many of them there are. */
  get kinds(): number {
    return this.laneTable.kinds;
  }

  protected engineOf(state: Readonly<State>): number {
    if (!state.engineOn) return ENGINE.off;
    return this.interval.step.clutched ? ENGINE.inGear : ENGINE.idling;
  }
}
