import { DefectError } from '../config/problem.ts';
import { LIMIT } from '../physics/limit.ts';
import { carry, newTransfer, type Store, type Transfer } from '../physics/store.ts';
import type { Car } from './car.ts';
import { ENGINE_LIMITS } from './engine-limit.ts';
import { CLOSURE_LIMIT, Ledger } from './ledger.ts';
import { SAME, SprintForces } from './sprint-forces.ts';
import { SprintGears } from './sprint-gears.ts';
import { type Passing, type SprintGoal, SprintGoals } from './sprint-goals.ts';
import { bookStep } from './sprint-step.ts';
import { copyState, initialState, type State } from './state.ts';
import { newStep, type Step } from './step.ts';

/** The road of a sprint, and how well tyres hold on it. */
export interface SprintRoad {
  /** sin θ */
  readonly sine: number;
  /** μ of the tyres */
  readonly adhesion: number;
}

/** Where a drive at full load begins. */
export interface SprintStart {
  /** [m/s] */
  readonly speed: number;
  /** [rad/s] */
  readonly rotorSpeed: number;
}

/** A drive at full load as it turned out; its ledger is closed. */
export interface SprintDrive {
  /** One for each goal; undefined where it was not reached */
  readonly passings: readonly (Passing | undefined)[];
  /** Why it ended: all reached, no more acceleration, no way to go on, or no time left */
  readonly end: 'reached' | 'settled' | 'stuck' | 'time';
  /** [s] */
  readonly duration: number;
  /** Fastest it went, and how fast at the end [m/s] */
  readonly topSpeed: number;
  readonly endSpeed: number;
  /**
   * From the store's first assist until it is first empty or out of its ratio range [s]; the tyres may
   * leave it a pause in between
   */
  readonly boostTime: number;
  /** Whether that moment came within the drive */
  readonly boostEnded: boolean;
  readonly ledger: Ledger;
  readonly closure: number;
  /** How long each of ENGINE_LIMITS held the engine [s] */
  readonly engineLimitTime: Float64Array;
}

/** Takes each settled interval: its step, the distance at its start [m], index into ENGINE_LIMITS. */
export type SprintWatch = (step: Readonly<Step>, distance: number, engineLimit: number) => void;

/** Longest drive [s]. */
export const LONGEST_SPRINT = 600;
/** A car that gains less than this has settled [m/s²]. */
const SETTLED = 1e-3;
/** Tries to end an interval at an event: each is off by the square of the one before. */
const AIMS = 6;
/** Halvings of the interval in which the store begins or ends. */
const HALVINGS = 45;
/** Too short for anything to change [s]. */
const INSTANT = 1e-6;

/**
 * Drives a car at full load, forward in time: launch with the slipping device, changes of gear with
 * their gap, the store at its envelope on top. Speed is linear within an interval. An interval ends
 * where the launch device closes, where a gear is left, where the store has no more to give and where
 * the last goal is reached, so that none holds two laws and the ledger ends with the drive.
 */
export class FullLoadDrive {
  private readonly car: Car;
  private readonly store: Store | undefined;
  private readonly sine: number;
  private readonly step: number;
  private readonly watch: SprintWatch | undefined;
  private readonly forces: SprintForces;
  private readonly transfer: Transfer = newTransfer();
  private readonly row: Step = newStep();
  private readonly ledger = new Ledger();
  private readonly engineLimitTime = new Float64Array(ENGINE_LIMITS.length);
  private readonly gears: SprintGears;
  private readonly startSpeed: number;
  private readonly from: State;
  private readonly state: State;
  private readonly goals: SprintGoals;

  private time = 0;
  private speed: number;
  private distance = 0;
  private shiftingUntil = Number.NEGATIVE_INFINITY;
  private topSpeed: number;
  private boost: 'waiting' | 'on' | 'ended' = 'waiting';
  private boosting = false;
  private boostTime = 0;

  /**
   * @param car with the store's mass where one is fitted
   * @param store or none
   * @param road
   * @param start in the gear with the most pull
   * @param goals the drive ends when all are reached
   * @param step of the time grid [s]
   * @param watch called with each interval
   */
  constructor(
    car: Car,
    store: Store | undefined,
    road: SprintRoad,
    start: SprintStart,
    goals: readonly SprintGoal[],
    step: number,
    watch?: SprintWatch,
  ) {
    this.car = car;
    this.store = store;
    this.sine = road.sine;
    this.step = step;
    this.watch = watch;
    this.goals = new SprintGoals(goals);
    this.startSpeed = start.speed;
    this.speed = start.speed;
    this.topSpeed = start.speed;
    this.forces = new SprintForces(car, store, road.adhesion);
    this.gears = new SprintGears(car, this.forces, road.sine, start.speed);
    this.from = copyState(initialState(car, store), start.rotorSpeed);
    this.from.engineSpeed = Math.max(this.gears.ratio * start.speed, car.sprint.launchSpeed);
    this.state = copyState(this.from);
  }

  /** @throws DefectError on an open ledger */
  run(): SprintDrive {
    const end = this.drive();
    return {
      passings: this.goals.passings,
      end,
      duration: this.time,
      topSpeed: this.topSpeed,
      endSpeed: this.speed,
      boostTime: this.boostTime,
      boostEnded: this.boost === 'ended',
      ledger: this.ledger,
      closure: this.close(),
      engineLimitTime: this.engineLimitTime,
    };
  }

  private drive(): SprintDrive['end'] {
    const { goals, forces, step } = this;
    if (forces.pullInGear(this.gears.gear, this.speed) === 0) return 'stuck';
    for (let k = 0; this.time < LONGEST_SPRINT; ) {
      this.changeGear();
      const gridEnd = (k + 1) * step;
      const whole = (this.shifting ? Math.min(gridEnd, this.shiftingUntil) : gridEnd) - this.time;
      const dt = this.untilLastGoal(this.untilBoostChanges(this.untilEvent(whole)));
      const from = this.now();
      const { acceleration } = forces;
      if (from.speed + acceleration * dt <= 0) return 'stuck';
      this.settle(dt);
      goals.note(from, acceleration, dt);
      if (goals.allReached) return 'reached';
      if (goals.allDistancesReached && this.row.clutched && Math.abs(acceleration) < SETTLED)
        return 'settled';
      if (this.time >= gridEnd - SAME * step) {
        this.time = gridEnd;
        k++;
      }
    }
    return 'time';
  }

  private now(): Passing {
    return { time: this.time, speed: this.speed, distance: this.distance };
  }

  private get shifting(): boolean {
    return this.time < this.shiftingUntil - SAME * this.step;
  }

  private changeGear(): void {
    while (!this.shifting && this.gears.isToBeLeft(this.speed)) {
      this.gears.gear++;
      this.shiftingUntil = this.time + this.car.sprint.shiftTime;
    }
  }

  private balance(dt: number): void {
    const { forces, gears, speed, shifting, sine, state } = this;
    forces.solve(speed, dt, gears.gear, shifting, state.rotorSpeed, sine);
    if (!shifting && gears.isAtTop(speed) && forces.acceleration > 0) {
      forces.hold(speed, dt, gears.gear, state.rotorSpeed, sine);
    }
  }

  /**
   * Balances the forces over an interval, or over the part of it before the launch device closes, the
   * gear is left or the engine is as fast as it may be.
   * @returns length of what was balanced [s]
   */
  private untilEvent(whole: number): number {
    const { forces, gears, speed } = this;
    this.balance(whole);
    const { acceleration } = forces;
    const slowing = acceleration < 0;
    if (this.shifting || acceleration === 0 || (gears.isAtTop(speed) && !slowing)) return whole;
    const aim = gears.nextEvent(speed, slowing);
    const end = speed + acceleration * whole;
    if (slowing ? end >= aim * (1 - SAME) : end <= aim * (1 + SAME)) return whole;
    let dt = whole;
    for (let i = 0; i < AIMS; i++) {
      dt = (aim - speed) / forces.acceleration;
      this.balance(dt);
    }
    return dt;
  }

  /**
   * Cuts a balanced interval to the instant at which the store begins to assist, which may have to
   * wait for what the engine leaves of the tyres, or at which it has no more to give.
   */
  private untilBoostChanges(whole: number): number {
    const { store } = this;
    this.boosting = false;
    if (store === undefined || this.boost === 'ended') return whole;
    if (this.boost === 'waiting') {
      const { storeForce, envelope } = this.forces;
      if (storeForce === 0 && envelope.assistLimit !== LIMIT.adhesion) return whole;
      if (!this.assistsAfter(0)) return this.first(whole, (dt) => this.assistsAfter(dt), 'on');
      this.boost = 'on';
      this.balance(whole);
    }
    this.boosting = true;
    return this.first(whole, (dt) => this.isSpentAfter(store, dt), 'ended');
  }

  /** The part of an interval before something is so, balanced; the boost is then another. */
  private first(whole: number, isSo: (dt: number) => boolean, next: 'on' | 'ended'): number {
    let low = 0;
    let high = whole;
    if (isSo(whole)) {
      this.boost = next;
      for (let i = 0; i < HALVINGS; i++) {
        const middle = 0.5 * (low + high);
        if (isSo(middle)) high = middle;
        else low = middle;
      }
    }
    this.balance(high);
    return high;
  }

  private assistsAfter(dt: number): boolean {
    const { forces, gears, state, sine } = this;
    this.balance(dt);
    const end = this.speed + forces.acceleration * dt;
    forces.solve(Math.max(end, 0), INSTANT, gears.gear, this.shifting, state.rotorSpeed, sine);
    return forces.storeForce > 0;
  }

  private isSpentAfter(store: Store, dt: number): boolean {
    const { forces, speed, transfer, state } = this;
    this.balance(dt);
    const end = speed + forces.acceleration * dt;
    const power = forces.storeForce * 0.5 * (speed + end);
    carry(store, forces.envelope, power, state.rotorSpeed, dt, transfer);
    return forces.storeIsSpent(store, end, transfer.endSpeed);
  }

  /** Cuts a balanced interval to the moment at which the last goal is reached. */
  private untilLastGoal(whole: number): number {
    const { goals, forces } = this;
    const from = this.now();
    let dt = whole;
    for (let i = 0; i < AIMS; i++) {
      const last = goals.lastWithin(from, forces.acceleration, dt);
      if (last === undefined) return dt;
      dt = last;
      this.balance(dt);
    }
    return dt;
  }

  /** Books the balanced interval and moves on to its end. */
  private settle(dt: number): void {
    const { row, forces, state, car, store, shifting, transfer } = this;
    const endSpeed = this.speed + forces.acceleration * dt;
    row.time = this.time;
    row.dt = dt;
    row.gear = this.gears.gear;
    row.clutched = !shifting;
    row.sine = this.sine;
    bookStep(car, store, forces, this.speed, state, transfer, row);
    this.ledger.add(row, car.engine.maxSpeed * (1 + SAME));
    this.engineLimitTime[forces.engineLimit] = this.engineLimitTime[forces.engineLimit]! + dt;
    this.watch?.(row, this.distance, forces.engineLimit);
    if (this.boosting) this.boostTime += dt;
    this.time += dt;
    this.distance += row.speed * dt;
    this.speed = endSpeed;
    this.topSpeed = Math.max(this.topSpeed, endSpeed);
  }

  /** Holds the ledger against the states at both ends, and its kinetic line against the speeds. */
  private close(): number {
    const { ledger, forces, car, store, startSpeed, speed } = this;
    const closure = ledger.close(
      this.from,
      this.state,
      car.engine.inertia,
      store === undefined ? 0 : store.rotor.inertia,
    );
    const gained = 0.5 * forces.inertia * (speed * speed - startSpeed * startSpeed);
    const miss = Math.abs(ledger.kinetic - gained);
    if (miss > CLOSURE_LIMIT * (Math.abs(gained) + ledger.traction)) {
      throw new DefectError(`${miss} J of kinetic energy are unaccounted for`);
    }
    return closure;
  }
}
