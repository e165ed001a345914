import { InputError } from '../config/problem.ts';
import { intervalCount, type Trace } from '../cycle/trace.ts';
import { Curve } from '../physics/curve.ts';
import { rotorEnergy, rotorSpeed } from '../physics/rotor.ts';
import type { Store } from '../physics/store.ts';
import type { Car } from '../simulate/car.ts';
import { Demand } from '../simulate/demand.ts';
import { type Run, run } from '../simulate/run.ts';
import { copyState, initialState, type State } from '../simulate/state.ts';
import { totalFuel } from '../simulate/total-fuel.ts';
import type { Want } from '../strategy/contract.ts';
import { courseAlong, firstCourse } from './course.ts';
import { Choice, solve, straightTube, Values } from './dynamic-programming.ts';
import { FEW } from './offers.ts';
import { Plan, replayOf } from './replay.ts';
import { RoadStages } from './road-stages.ts';
import { type Breadth, Search } from './way.ts';

/** Two passes whose replayed fuels differ by less than this, relative, are fine enough. */
export const REFINEMENT_LIMIT = 5e-4;

/** How finely a pass looks. */
interface Fineness {
  /** Nodes of the rotor's energy for the costs to go */
  readonly nodes: number;
  /** Cells of the rotor's energy for the search */
  readonly cells: number;
  /** Ways that the search drives side by side */
  readonly ways: number;
}

/** Passes, from coarse to fine: at least two, and more until the fuel moves no more. */
const PASSES: readonly Fineness[] = [
  { nodes: 11, cells: 160, ways: 80 },
  { nodes: 16, cells: 320, ways: 160 },
  { nodes: 31, cells: 640, ways: 320 },
  { nodes: 61, cells: 1280, ways: 640 },
];

/** Intervals after which the costs to go no longer tell how the lap ends, but for a constant. */
const MEMORY = 400;

/** Longest trace [intervals]: the costs to go of every instant have to be held. */
const LONGEST = 50_000;

/** Cost of each joule that the store ends below its start: above any price of stored energy. */
const DEFICIT_PRICE = 20;

/** The least fuel of a case: a lap that was driven, and how it was found. */
export interface Bound {
  readonly run: Run;
  /** Fuel energy, battery debt charged; the store ends at least as full as it began [J] */
  readonly fuel: number;
  /** Wishes of the lap */
  readonly plan: Plan;
  /** What the last refinement changed, over the fuel */
  readonly refinement: number;
  readonly grid: Fineness & { readonly lanes: number; readonly passes: number };
  /** Costs to go of the last pass, for the price of other decisions */
  readonly stages: RoadStages;
  readonly values: Values;
}

/**
 * Finds the least fuel of a case whose store ends as full as it began, over all initial energies: the
 * best lap that repeats itself. Costs to go are worked out backwards on a grid, with the worth of
 * stored energy at the end taken from the start of the next lap; then the best way is searched forward
 * among states that are really reached, and driven once more by the simulator.
 * @param car with the store fitted
 * @param store
 * @param trace
 * @returns the best lap of all passes; its fuel is what was driven, not what was computed to go
 * @throws InputError for a trace that is too long
 */
export function findBound(car: Car, store: Store, trace: Trace): Bound {
  const count = intervalCount(trace);
  if (count > LONGEST) throw new InputError([tooLong(trace, count)]);
  const demand = new Demand(car, store, trace, count);
  demand.block(0);
  const finder = new Finder(car, store, demand);
  let best: Bound | undefined;
  let passes = 0;
  for (const fineness of PASSES) {
    const lap = finder.pass(fineness);
    passes++;
    const refinement: number = best === undefined ? 1 : Math.abs(lap.fuel - best.fuel) / lap.fuel;
    const grid = { ...fineness, lanes: finder.stages.lanes, passes };
    const isBetter = best === undefined || lap.fuel < best.fuel;
    best = { ...(isBetter ? lap : best!), ...finder.table, refinement, grid };
    if (refinement < REFINEMENT_LIMIT) break;
  }
  return best!;
}

interface Lap {
  readonly run: Run;
  readonly fuel: number;
  readonly plan: Plan;
}

/** One pass after another, each beginning with what the last one found out. */
class Finder {
  readonly stages: RoadStages;
  private readonly car: Car;
  private readonly store: Store;
  private readonly demand: Demand;
  private readonly top: number;
  private values: Values;
  /** Stored energy at both ends of the lap [J] */
  private energy: number;
  /** Cost to go over the energy at a lap's start: what stored energy is worth at the end of one */
  private ahead: Curve | undefined;

  constructor(car: Car, store: Store, demand: Demand) {
    this.car = car;
    this.store = store;
    this.demand = demand;
    this.top = rotorEnergy(store.rotor, store.rotor.maxSpeed);
    this.energy = rotorEnergy(store.rotor, store.initialSpeed);
    this.stages = new RoadStages(car, store, demand, FEW, firstCourse(car, store, demand));
    this.values = new Values(this.stages, straightTube(0, this.top, 2, demand.count));
  }

  get table(): Pick<Bound, 'stages' | 'values'> {
    return { stages: this.stages, values: this.values };
  }

  pass(fineness: Fineness): Lap {
    const { stages, top } = this;
    const { count } = stages;
    this.values = new Values(stages, straightTube(0, top, fineness.nodes, count));
    const ahead = this.ahead ?? this.guessAhead();
    solve(stages, this.values, (_lane, x) => ahead.at(x));
    this.energy = this.settle();
    const lap = this.search(fineness, ahead);
    this.ahead = this.curveAtStart();
    return lap;
  }

  /** The shape of the costs to go at the start hangs on the first part of the trace alone. */
  private guessAhead(): Curve {
    const { stages, values } = this;
    const price = stages.course.debtPrice * this.car.electrics.alternatorEfficiency;
    solve(stages, values, (_lane, x) => -price * x, Math.min(MEMORY, stages.count));
    return this.curveAtStart();
  }

  private curveAtStart(): Curve {
    const { values, stages } = this;
    const x = Array.from({ length: values.tube.nodes }, (_, i) => values.node(0, i));
    return new Curve(
      x,
      x.map((energy) => values.at(0, stages.startLane, energy)),
    );
  }

  /** Energy at which a lap that takes what is cheapest by the costs to go repeats itself [J]. */
  private settle(): number {
    const { stages, values, store } = this;
    const choice = new Choice();
    const want: Want = { storePower: 0, engineOn: true, clutched: true };
    let { energy } = this;
    for (let lap = 0; lap < 4; lap++) {
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
    return copyState(
      initialState(this.car, this.store),
      rotorSpeed(this.store.rotor, energy),
    );
  }

  /** The cheapest lap that ends at least as full as it began. */
  private search(fineness: Fineness, ahead: Curve): Lap {
    const { stages, values, store } = this;
    const { count } = stages;
    for (let attempt = 0; ; attempt++) {
      const { energy } = this;
      const start = this.startAt(energy);
      const final = (_lane: number, x: number) =>
        ahead.at(x) + DEFICIT_PRICE * Math.max(0, energy - x);
      solve(stages, values, final, count, Math.max(0, count - MEMORY));
      const search = new Search(stages, values, store.rotor, start, this.breadth(fineness));
      const arrivals = search.drive();
      const full = arrivals.filter((arrival) => arrival.energy >= energy);
      if (full.length > 0) {
        const best = full.reduce((a, b) => (b.cost < a.cost ? b : a));
        return this.replay(start, search.decisions(best.way));
      }
      // Nothing came back as full: begin where the fullest ended, and in the end with a rotor at rest.
      const fullest = Math.max(...arrivals.map((arrival) => arrival.energy));
      this.energy = attempt < 3 ? fullest : 0;
    }
  }

  private breadth({ cells, ways }: Fineness): Breadth {
    const { engine, electrics } = this.car;
    const { debtPrice } = this.stages.course;
    const { fuelEnergy, electricalEnergy } = engine.restart;
    const start = fuelEnergy + (electricalEnergy / electrics.batteryEfficiency) * debtPrice;
    return { cell: this.top / cells, ways, margin: Math.max(6 * start, 0.5 * this.top) };
  }

  /** Drives the decisions in the simulator. */
  private replay(start: Readonly<State>, decisions: Uint8Array): Lap {
    const { car, store, demand, stages } = this;
    const plan = new Plan(stages.count);
    const want: Want = { storePower: 0, engineOn: true, clutched: true };
    const state = copyState(start);
    for (let k = 0; k < stages.count; k++) {
      stages.take(k, state, decisions[k]!, want);
      plan.note(k, want);
    }
    const lap = run(car, store, demand, replayOf(plan), start);
    stages.course = courseAlong(car, lap, decisions, stages, this.values);
    return { run: lap, fuel: totalFuel(car, lap), plan };
  }
}

function tooLong(trace: Trace, count: number) {
  return {
    code: 'too-long-for-bound',
    file: trace.name,
    found: `${count} intervals`,
    expected: `at most ${LONGEST} for a bound, since the costs to go of every instant are held`,
    hint: 'cut the drive, or read it at 1 Hz with `--resample 1`',
  };
}
