import { Curve } from '../physics/curve.ts';
import { rotorEnergy, rotorSpeed } from '../physics/rotor.ts';
import type { Store } from '../physics/store.ts';
import type { Car } from '../simulate/car.ts';
import type { Demand } from '../simulate/demand.ts';
import { type Run, run } from '../simulate/run.ts';
import { copyState, initialState, type State } from '../simulate/state.ts';
import { totalFuel } from '../simulate/total-fuel.ts';
import { newWant } from '../strategy/contract.ts';
import { type Closed, cheapestClosed, DEFICIT_PRICE } from './closed.ts';
import { courseAlong, firstCourse } from './course.ts';
import { Choice, solve } from './dynamic-programming.ts';
import { FINE_LEVELS, LEVELS } from './offers.ts';
import { Plan, replayOf } from './replay.ts';
import { RoadStages } from './road-stages.ts';
import { leastOfStarts } from './starts.ts';
import { straightTube, Values } from './values.ts';
import { type Arrival, Search } from './way.ts';

/** How finely a pass looks. */
export interface Fineness {
  /** Nodes of the rotor's speed for the costs to go */
  readonly nodes: number;
  /** Cells of the rotor's energy for the search */
  readonly cells: number;
  /** Ways that the search drives side by side */
  readonly ways: number;
}

/** The search that finds out how full the store should end. */
const SCOUTING = { cells: 160, ways: 12 } as const;

/** The searches from the starts of a short trace, on which it takes close cells to tell ways apart. */
const ROUGH = { nodes: 16, cells: 640, ways: 60 } as const;
const CLOSE = { nodes: 32, cells: 1280, ways: 120 } as const;
const LAST = { nodes: 40, cells: 2560, ways: 320 } as const;

/** Bands of the energy of which a short trace's search keeps one way each at least. */
const BANDS = 160;

/** A lap from rest within this of the best is searched as well as that, over the fuel. */
const WORTH_A_LOOK = 0.01;

/** How far another start has to be for the best lap not to be bent to it, over the greatest energy. */
const FAR = 0.02;

/** What another start of the lap has to bring before it is tried, over the fuel. */
const WORTH_A_MOVE = 5e-4;

/** How far from its start the energy of a short trace's store goes at least, over the greatest. */
const REACH = 0.05;

/** Time after which the costs to go no longer tell how the lap ends, but for a constant [s]. */
const MEMORY = 200;

/** A shorter trace is searched from many starts, since most of what was stored at one is left at its end [s]. */
const SHORT = 400;

/**
 * How far below the energy that was scouted a lap begins, over the greatest: a lap that just comes
 * back to it must not be lost to rounding.
 */
const START_SLACK = 1e-6;

/**
 * Nodes of the rotor's speed for costs to go that others are judged by. What they are off adds up along
 * a lap, so there are as many as in a fine pass.
 */
const PRICE_NODES = 40;

/** Laps within which the stored energy of a greedy lap settles. */
const MOST_LAPS = 4;

/** A way may be dearer than the best by the price of so many starts of the engine. */
const STARTS_BEHIND = 6;

/** A lap with the least fuel that a pass found. */
export interface Lap {
  readonly run: Run;
  /** Fuel energy, the battery's debt charged; the store ends at least as full as it began [J] */
  readonly fuel: number;
  /** Wishes of the lap */
  readonly plan: Plan;
}

/** Costs to go, as the road's stages and a table of values. */
export interface Prices {
  readonly stages: RoadStages;
  readonly values: Values;
}

/** One pass after another, each beginning with what the last one found out. */
export class Finder {
  readonly stages: RoadStages;
  private readonly car: Car;
  private readonly store: Store;
  private readonly demand: Demand;
  private readonly top: number;
  /** Instants at which the first part of the trace ends, and the last one begins */
  private readonly firstPart: number;
  private readonly lastPart: number;
  /** Whether the costs to go at the start hang on what comes behind the end */
  private readonly isShort: boolean;
  /** What the trace asks of the car while it drives: a store gives no more in it [J] */
  private readonly drivingEnergy: number;
  private values: Values;
  /** Stored energy at both ends of the lap [J] */
  private energy: number;
  /** The best lap of all passes so far, with the energy from which it was searched [J] */
  private best: (Lap & { readonly energy: number; readonly decisions: Uint8Array }) | undefined;
  /** Cost to go over the energy at a lap's start: what stored energy is worth at the end of one */
  private ahead: Curve | undefined;

  constructor(car: Car, store: Store, demand: Demand) {
    this.car = car;
    this.store = store;
    this.demand = demand;
    const { time, count } = demand;
    const begin = time[0]!;
    const end = time[count - 1]!;
    this.isShort = end - begin < SHORT;
    this.firstPart = this.isShort ? count : time.findIndex((t) => t - begin >= MEMORY);
    this.lastPart = this.isShort ? 0 : time.findIndex((t) => t >= end - MEMORY);
    this.top = rotorEnergy(store.rotor, store.rotor.maxSpeed);
    this.energy = rotorEnergy(store.rotor, store.initialSpeed);
    const levels = this.isShort ? FINE_LEVELS : LEVELS;
    this.stages = new RoadStages(car, store, demand, levels, firstCourse(car, store, demand));
    this.drivingEnergy = demand.wheel.reduce(
      (sum, power, k) => sum + Math.max(0, power) * demand.dt[k]!,
      0,
    );
    this.values = this.table(2);
  }

  private table(nodes: number): Values {
    return new Values(
      this.stages,
      straightTube(0, this.store.rotor.maxSpeed, nodes, this.stages.count),
    );
  }

  /** Costs to go of the energies that a short trace may reach from its start. */
  private tableAround(energy: number, nodes: number): Values {
    const reach = Math.max(REACH * this.top, this.drivingEnergy);
    const { rotor } = this.store;
    const low = rotorSpeed(rotor, Math.max(0, energy - reach));
    const high = rotorSpeed(rotor, Math.min(this.top, energy + reach));
    return new Values(this.stages, straightTube(low, high, nodes, this.stages.count));
  }

  pass(fineness: Fineness): Lap {
    const { stages } = this;
    const { debt } = stages.course;
    if (debt !== undefined && this.closes()) stages.debts.openAlong(debt);
    else stages.debts.openAll();
    if (this.isShort) {
      if (this.best === undefined) return this.leastOfStarts();
      return this.searchAt(this.best.energy, LAST, this.steadyAhead());
    }
    this.values = this.table(fineness.nodes);
    const ahead = this.ahead ?? this.guessAhead();
    solve(stages, this.values, this.worth(ahead));
    if (this.best === undefined) this.energy = this.settle();
    const start = this.scout(ahead);
    const still = this.best === undefined ? this.leastFromRest() : Number.POSITIVE_INFINITY;
    this.ahead = this.curveAtStart();
    const before = this.best;
    const lap = this.searchAt(start, fineness, this.ahead);
    if (before !== undefined && start !== before.energy && lap.fuel > before.fuel) {
      // The other start promised more than it held.
      return this.searchAt(before.energy, fineness, this.ahead);
    }
    if (start === 0 || still > lap.fuel * (1 + WORTH_A_LOOK)) return lap;
    // A store that the road has no use for is cheapest left alone, which no coarse step of power is.
    const rested = this.searchAt(0, fineness, this.ahead);
    return rested.fuel < lap.fuel ? rested : lap;
  }

  /** Whether the best lap ends about as full as it began: one that does not tells little of the next. */
  private closes(): boolean {
    const { best, store } = this;
    if (best === undefined) return false;
    const end = rotorEnergy(store.rotor, best.run.end.rotorSpeed);
    return end - best.energy < FAR * this.top;
  }

  /**
   * Costs to go of any state near a lap, without a price on ending below any start. The last part is
   * worked out twice: what the store is worth at the end has to be what these very nodes make of it at the
   * start, or a strategy whose rotor rests begins with another worth than it ends with.
   * @param debts what the battery is owed along the lap, at each instant [J]
   */
  pricesAlong(debts: Float64Array): Prices {
    const { stages } = this;
    const before = this.ahead ?? this.guessAhead();
    stages.debts.openAlong(debts, stages.course.debt ?? debts);
    const values = this.table(PRICE_NODES);
    this.values = values;
    solve(stages, values, this.worth(before));
    const ahead = this.curveAtStart();
    solve(stages, values, this.worth(ahead), stages.count, this.lastPart);
    return { stages, values };
  }

  /** The shape of the costs to go at the start hangs on the first part of the trace alone. */
  private guessAhead(): Curve {
    const { stages, values } = this;
    solve(stages, values, this.worth(this.steadyAhead()), this.firstPart);
    return this.curveAtStart();
  }

  private curveAtStart(): Curve {
    const { values, stages } = this;
    const speeds = Array.from({ length: values.tube.nodes }, (_, i) => values.node(0, i));
    return new Curve(
      speeds.map((speed) => rotorEnergy(this.store.rotor, speed)),
      speeds.map((speed) => values.at(0, stages.startLane, speed)),
    );
  }

  /** What a curve over energy says of a rotor's speed. */
  private worth(curve: Curve): (speed: number) => number {
    const { rotor } = this.store;
    return (speed) => curve.at(rotorEnergy(rotor, speed));
  }

  /** Works out the last part anew, with a price on ending below an energy [J]. */
  private solveEnd(ahead: Curve, energy: number): void {
    const { stages, values } = this;
    const final = (speed: number) => {
      const end = rotorEnergy(this.store.rotor, speed);
      return ahead.at(end) + DEFICIT_PRICE * Math.max(0, energy - end);
    };
    solve(stages, values, final, stages.count, this.lastPart);
  }

  /** Energy at which a lap that takes what is cheapest by the costs to go repeats itself [J]. */
  private settle(): number {
    const { stages, values, store } = this;
    const choice = new Choice();
    const want = newWant();
    let { energy } = this;
    for (let lap = 0; lap < MOST_LAPS; lap++) {
      const state = this.startAt(energy);
      for (let k = 0; k < stages.count; k++) {
        choice.clear();
        stages.tryFrom(k, state, values, choice);
        stages.take(k, state, choice.decision, want);
      }
      const end = rotorEnergy(store.rotor, state.rotorSpeed);
      const moved = Math.abs(end - energy);
      energy = end;
      if (moved < 1e-3 * this.top) break;
    }
    return energy;
  }

  private startAt(energy: number): State {
    return copyState(initialState(this.car, this.store), rotorSpeed(this.store.rotor, energy));
  }

  /** Energy at which the best way ends that is free to end where it likes [J]. */
  private scout(ahead: Curve): number {
    const { best } = this;
    const search = this.searchFrom(best?.energy ?? this.energy, SCOUTING);
    const arrivals = search.drive();
    const whole = (arrival: Arrival) => arrival.cost + ahead.at(arrival.energy);
    const found = arrivals.reduce((a, b) => (whole(b) < whole(a) ? b : a));
    if (best === undefined) return found.energy;
    const gain = whole(arrivals[search.known]!) - whole(found);
    const far = Math.abs(found.energy - best.energy) > FAR * this.top;
    return far && gain > WORTH_A_MOVE * best.fuel ? found.energy : best.energy;
  }

  /**
   * The cheapest lap over all starts. Much of what a short trace's store holds at the start is still
   * there at the end, so that the costs to go beyond it, which are a guess, tell little of where a lap
   * should begin.
   */
  private leastOfStarts(): Lap {
    const { rotor } = this.store;
    const ahead = this.steadyAhead();
    const bottom = rotorEnergy(rotor, rotor.minSpeed);
    return leastOfStarts(bottom, this.top, this.price, (start, closely) => {
      const lap = this.searchAt(start, closely ? CLOSE : ROUGH, ahead);
      return { ...lap, energy: rotorEnergy(rotor, lap.run.start.rotorSpeed) };
    });
  }

  /** What stored energy is worth at the end of a lap, at the engine's marginal fuel. */
  private steadyAhead(): Curve {
    const { top } = this;
    return new Curve([0, top], [0, -this.price * top]);
  }

  /** Fuel for each joule that the engine gives. */
  private get price(): number {
    return this.stages.course.debtPrice * this.car.electrics.alternatorEfficiency;
  }

  /** Fuel of a lap that begins with a rotor at rest [J], roughly. */
  private leastFromRest(): number {
    const arrivals = this.searchFrom(0, SCOUTING).drive();
    return Math.min(...arrivals.map((arrival) => arrival.cost));
  }

  private searchFrom(energy: number, { cells, ways }: Omit<Fineness, 'nodes'>): Search {
    const { engine, electrics } = this.car;
    const { fuelEnergy, electricalEnergy } = engine.restart;
    const owed = electricalEnergy / electrics.batteryEfficiency;
    const start = fuelEnergy + owed * this.stages.course.debtPrice;
    const margin = Math.max(STARTS_BEHIND * start, 0.5 * this.top);
    const cell = this.top / cells;
    const { rotor } = this.store;
    const { low, high } = this.values.tube;
    const range = rotorEnergy(rotor, high[0]!) - rotorEnergy(rotor, low[0]!);
    const band = this.isShort ? Math.ceil(range / cell / BANDS) : undefined;
    const breadth = { cell, ways, margin, band };
    const known = this.best?.energy === energy ? this.best.decisions : undefined;
    return new Search(this.stages, this.values, rotor, this.startAt(energy), breadth, known);
  }

  /** The cheapest lap that ends at least as full as it began, with this energy if it can be [J]. */
  private searchAt(start: number, fineness: Fineness, ahead: Curve): Lap {
    const { stages } = this;
    const again = start === this.best?.energy;
    this.energy = again ? start : Math.max(0, start - START_SLACK * this.top);
    for (let attempt = 0; ; attempt++) {
      const { energy } = this;
      if (this.isShort) this.values = this.tableAround(energy, fineness.nodes);
      this.solveEnd(ahead, energy);
      const search = this.searchFrom(energy, fineness);
      const arrivals = search.drive();
      if (arrivals.some((arrival) => arrival.energy >= energy) || attempt >= MOST_LAPS) {
        const from = this.startAt(energy);
        const closed = cheapestClosed(stages, this.store.rotor, from, this.price, search, arrivals);
        if (closed !== undefined) return this.replay(closed);
      }
      // Nothing came back as full: begin where the fullest ended, and in the end with a rotor at rest.
      const fullest = Math.max(...arrivals.map((arrival) => arrival.energy));
      this.energy = attempt < MOST_LAPS ? fullest : 0;
    }
  }

  /** Drives a lap in the simulator. */
  private replay({ lap: closed, decisions }: Closed): Lap {
    const { car, store, demand, stages, energy } = this;
    const plan = new Plan(stages.count);
    closed.write(plan);
    const lap = run(car, store, demand, replayOf(plan), closed.start);
    const fuel = totalFuel(car, lap);
    if (this.best === undefined || fuel < this.best.fuel) {
      this.best = { run: lap, fuel, plan, energy, decisions };
      // The course is that of the search's own lap, from which its decisions were taken.
      const searched = { ...lap, start: this.startAt(energy) };
      stages.course = courseAlong(car, searched, decisions, stages, this.values);
    }
    return { run: lap, fuel, plan };
  }
}
