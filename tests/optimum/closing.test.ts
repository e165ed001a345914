import { describe, expect, it } from 'vitest';
import { cut } from '../../src/cycle/compose.ts';
import { ClosingLap } from '../../src/optimum/closing.ts';
import { firstCourse } from '../../src/optimum/course.ts';
import { FINE_LEVELS, Offers } from '../../src/optimum/offers.ts';
import { Plan, replayOf } from '../../src/optimum/replay.ts';
import { RoadStages } from '../../src/optimum/road-stages.ts';
import { rotorEnergy, rotorSpeed } from '../../src/physics/rotor.ts';
import { fitStore } from '../../src/simulate/car.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { run } from '../../src/simulate/run.ts';
import { copyState, initialState } from '../../src/simulate/state.ts';
import { totalFuel } from '../../src/simulate/total-fuel.ts';
import { newWant } from '../../src/strategy/contract.ts';
import { cycleNamed, plainCar, plainStore } from '../fixtures.ts';
import { expectWithin } from '../within.ts';

const car = fitStore(plainCar, plainStore);
const { rotor } = plainStore;
const trace = cut(cycleNamed('nycc'), 84, 142);
const demand = new Demand(car, plainStore, trace);
demand.block(0);
const stages = new RoadStages(
  car,
  plainStore,
  demand,
  FINE_LEVELS,
  firstCourse(car, plainStore, demand),
);
const offers = new Offers(FINE_LEVELS);
const top = rotorEnergy(rotor, rotor.maxSpeed);
const start = copyState(initialState(car, plainStore), rotorSpeed(rotor, 0.4 * top));

/**
 * Decisions of a lap with the engine always in gear, whose store takes all that it can from the engine up
 * to an interval, and gives some of what it can from there on.
 */
function chargedUntil(last: number): Uint8Array {
  const want = newWant();
  const state = copyState(start);
  return Uint8Array.from({ length: stages.count }, (_, k) => {
    const view = stages.lookAt(k, state);
    const driven = k < last ? -view.recoverLimit : 0.25 * view.assistLimit;
    const power = view.wheelPower > 0 ? driven : -view.recoverLimit;
    let nearest = 0;
    let least = Number.POSITIVE_INFINITY;
    offers.make(view);
    for (let i = 0; i < offers.count; i++) {
      offers.read(i, want);
      const miss = Math.abs(want.storePower - power) + (want.engineOn && want.clutched ? 0 : 1e9);
      if (miss >= least) continue;
      least = miss;
      nearest = i;
    }
    stages.readOffer(nearest, want);
    stages.settleWish(want, state);
    return nearest;
  });
}

const lapUntil = (last: number) => new ClosingLap(stages, rotor, start, chargedUntil(last));
/** The first interval up to which the store must be charged for the lap to end fuller than it began. */
let enough = 0;
while (lapUntil(enough).gap < 0) enough++;

describe('a lap that is to close', () => {
  it.each([
    ['too empty', enough - 1],
    ['too full', enough],
    ['far too full', stages.count],
  ])('comes to end as full as it began, for a fair price, where it ends %s', (_name, last) => {
    const lap = lapUntil(last);
    const { gap, cost } = lap;
    expect(Math.abs(gap)).toBeGreaterThan(1e-4 * top);
    expect(lap.close()).toBe(true);
    expect(lap.gap).toBeGreaterThanOrEqual(0);
    expect(lap.gap).toBeLessThanOrEqual(2e-6 * lap.cost);
    // The engine gives a joule for 1 / 0.44 J of fuel, and the store loses some of it. What is left over
    // saves at least so much; what is lacking takes no more than twice as much, and less where the store
    // begins emptier and so has less drag.
    const price = (lap.cost - cost) / -gap;
    if (gap > 0) expect(price).toBeGreaterThan(1 / 0.44);
    else expect(price).toBeLessThan(2 / 0.44);
  });

  it('is what the simulator drives', () => {
    const lap = lapUntil(stages.count);
    lap.close();
    const plan = new Plan(stages.count);
    lap.write(plan);
    const driven = run(car, plainStore, demand, replayOf(plan), lap.start);
    expectWithin(totalFuel(car, driven), lap.cost, 1e-9);
    expect(Math.abs(driven.ledger.storeChange - lap.gap)).toBeLessThan(1e-3);
  });
});
