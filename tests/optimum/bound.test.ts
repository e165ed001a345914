import { describe, expect, it } from 'vitest';
import { loadCase } from '../../src/config/load.ts';
import { InputError } from '../../src/config/problem.ts';
import { repeat } from '../../src/cycle/compose.ts';
import { parseCycle } from '../../src/cycle/read.ts';
import { refine } from '../../src/cycle/trace.ts';
import { findBound, REFINEMENT_LIMIT } from '../../src/optimum/bound.ts';
import { boundOfCase } from '../../src/optimum/bound-case.ts';
import { lossesAlong } from '../../src/optimum/losses.ts';
import { replayOf } from '../../src/optimum/replay.ts';
import { fitStore } from '../../src/simulate/car.ts';
import { runCase, runReferences } from '../../src/simulate/case.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { CLOSURE_LIMIT } from '../../src/simulate/ledger.ts';
import { run } from '../../src/simulate/run.ts';
import { totalFuel } from '../../src/simulate/total-fuel.ts';
import { summariseLoaded } from '../../src/summary/loaded-summary.ts';
import { cycleNamed, plainCar, plainStore } from '../fixtures.ts';
import { expectWithin } from '../within.ts';

const car = fitStore(plainCar, plainStore);
const trace = cycleNamed('nycc');

describe('a bound', () => {
  const bound = findBound(car, plainStore, trace);

  it('is the fuel of a lap that the simulator drives, with a closed ledger', () => {
    const demand = new Demand(car, plainStore, trace);
    const again = run(car, plainStore, demand, replayOf(bound.plan), bound.run.start);
    expect(totalFuel(car, again)).toBe(bound.fuel);
    expect(again.closure).toBeLessThanOrEqual(CLOSURE_LIMIT);
    expect(again.ledger.shortfall).toBe(0);
  });

  it('ends at least as full as it began, and hardly fuller', () => {
    const { storeChange } = bound.run.ledger;
    expect(storeChange).toBeGreaterThanOrEqual(0);
    expect(storeChange / bound.fuel).toBeLessThan(1e-3);
  });

  it('begins as every run begins: the engine idles, nothing is owed', () => {
    const { engineOn, engineSpeed, batteryDebt, runningTime } = bound.run.start;
    expect({ engineOn, engineSpeed, batteryDebt, runningTime }).toEqual({
      engineOn: true,
      engineSpeed: car.engine.idleSpeed,
      batteryDebt: 0,
      runningTime: 0,
    });
  });

  it('lies well below the car with stop-start', () => {
    expect(bound.fuel).toBeLessThan(0.9 * runReferences(plainCar, trace).stopStart.fuel);
  });

  it('comes out the same a second time', () => {
    const one = findBound(car, plainStore, trace, 1).fuel;
    expect(findBound(car, plainStore, trace, 1).fuel).toBe(one);
  });

  it('falls no more than 0.7 % from the first pass to the last, and tells how far it is', () => {
    // Four starts of the engine, of some 45 that the cycle would take without a store.
    const told: number[] = [];
    const first = findBound(car, plainStore, trace, 1, (share) => told.push(share));
    expect(bound.fuel).toBeLessThanOrEqual(first.fuel);
    expectWithin(first.fuel, bound.fuel, 7e-3);
    expect(told.length).toBeGreaterThan(10);
    expect(told).toEqual(told.toSorted((a, b) => a - b));
    expect(told[0]).toBeLessThan(0.1);
    expect(told.at(-2)).toBeLessThanOrEqual(0.5);
    expect(told.at(-1)).toBe(1);
  });

  it('is settled when its refinement says so', () => {
    expect(bound.refinement).toBeLessThan(REFINEMENT_LIMIT);
  });
});

describe('the passes of a bound', () => {
  it('settle within what they promise on a regulated cycle', async () => {
    const { subject } = await loadCase({
      car: 'estate',
      store: 'rim-45',
      strategy: 'coast',
      cycle: 'hwfet',
    });
    const { store } = subject;
    const { refinement, grid } = findBound(fitStore(subject.car, store), store, subject.trace);
    expect(refinement).toBeLessThan(REFINEMENT_LIMIT);
    expect(grid.passes).toBeGreaterThanOrEqual(2);
  });

  it('find no more over two laps in one than twice over one: a lap that repeats itself is the best', () => {
    // A battery that is never owed too much, since over two laps it is not paid off in between.
    const patient = { ...car, electrics: { ...car.electrics, debtLimit: 1e7 } };
    const once = findBound(patient, plainStore, trace, 1);
    const twice = findBound(patient, plainStore, repeat(trace, 2, 'twice'), 1);
    expectWithin(twice.fuel / 2, once.fuel, 7e-3);
  });

  it('find about the same on a trace that is sampled more finely', () => {
    // Twice the decisions with as many ways side by side: 2 % is what one coarse pass may lose.
    const finer = findBound(car, plainStore, refine(trace, 2), 1);
    expectWithin(finer.fuel, findBound(car, plainStore, trace, 1).fuel, 2e-2);
  });
});

describe('a car that starts cold', () => {
  it('has a bound whose engine runs until it may stop', async () => {
    const { subject } = await loadCase({
      car: 'van',
      store: 'rim-60',
      strategy: 'coast',
      cycle: 'nycc',
    });
    const { withStore, fittedCar } = runCase(subject);
    const bound = findBound(fittedCar, subject.store, subject.trace, 1);
    expect(bound.fuel).toBeLessThan(withStore.fuel);
    expect(bound.run.ledger.engineOnTime).toBeGreaterThanOrEqual(60);
  });
});

describe('the losses of a strategy', () => {
  it('add up to its distance to the bound', async () => {
    const { subject } = await loadCase({
      car: 'estate',
      store: 'rim-45',
      strategy: 'coast',
      cycle: 'nycc',
    });
    const { withStore, fittedCar } = runCase(subject);
    const { store, makeStrategy } = subject;
    const bound = findBound(fittedCar, store, subject.trace, 2);
    const demand = new Demand(fittedCar, store, subject.trace);
    demand.block(0);
    const stretches = lossesAlong(bound, fittedCar, store, demand, makeStrategy, withStore.run);
    const lost = stretches.reduce((sum, { loss }) => sum + loss, 0);
    // Costs to go are interpolated, here between 24 energies.
    expectWithin(lost, withStore.fuel - bound.fuel, 0.15);
    for (const [index, stretch] of stretches.entries()) {
      expect(stretch.loss).toBeGreaterThan(0);
      expect(stretch.to).toBeGreaterThan(stretch.from);
      if (index > 0) expect(stretch.from).toBeGreaterThanOrEqual(stretches[index - 1]!.to - 1e-9);
    }
  });

  it('are next to nothing along the bound itself', () => {
    const bound = findBound(car, plainStore, trace, 1);
    const demand = new Demand(car, plainStore, trace);
    demand.block(0);
    const make = () => replayOf(bound.plan);
    const stretches = lossesAlong(bound, car, plainStore, demand, make, bound.run);
    const lost = stretches.reduce((sum, { loss }) => sum + loss, 0);
    expect(lost / bound.fuel).toBeLessThan(0.03);
  });
});

describe('a trace that is too long for a bound', () => {
  it('is refused with the way out', () => {
    const long = repeat(trace, 17, 'long');
    expect(() => findBound(car, plainStore, long)).toThrow(InputError);
    try {
      findBound(car, plainStore, long);
    } catch (error) {
      const [problem] = (error as InputError).problems;
      expect(problem?.found).toBe('10166 intervals');
      expect(problem?.hint).toContain('--resample 1');
    }
  });
});

describe('a bound where the road has no use for the store', () => {
  it('leaves the rotor at rest, as cheap as the strategy that does so', async () => {
    const loaded = await loadCase({
      car: 'estate',
      store: 'rim-45',
      strategy: 'coast',
      cycle: 'nycc',
    });
    const { store, makeStrategy } = loaded.subject;
    const time = [0, 10, 20, 400];
    const cruise = parseCycle(`time_s,speed_kmh\n${time.map((t) => `${t},50`).join('\n')}\n`, {
      file: 'cruise.csv',
      name: 'cruise',
    });
    const subject = { car: loaded.subject.car, store, makeStrategy, trace: cruise };
    const { withStore, fittedCar } = runCase(subject);
    const { fuel } = findBound(fittedCar, store, cruise);
    expect(fuel).toBeLessThanOrEqual(withStore.fuel * (1 + 1e-9));
  });
});

describe('what a strategy with a searched number loses', () => {
  it('is told of the lap that was driven, and so comes close to its distance from the bound', async () => {
    const loaded = await loadCase({
      car: 'estate',
      store: 'rim-45',
      strategy: 'least-cost',
      cycle: 'nycc',
    });
    const result = runCase(loaded.subject);
    const { bound } = boundOfCase(loaded.subject, result, summariseLoaded(loaded, result));
    const fuel = loaded.subject.car.engine.fuel;
    // Fuel energy over heating value [g]; the losses are worked out to first order along the lap.
    const gap =
      ((result.withStore.fuel * (bound.gap_pct! / (100 + bound.gap_pct!))) / fuel.heatingValue) *
      1e3;
    expectWithin(bound.lost_g!, gap, 0.2);
  });
});
