import { describe, expect, it } from 'vitest';
import { cut } from '../../src/cycle/compose.ts';
import { ClosingLap } from '../../src/optimum/closing.ts';
import { firstCourse } from '../../src/optimum/course.ts';
import { FINE_LEVELS } from '../../src/optimum/offers.ts';
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
const top = rotorEnergy(rotor, rotor.maxSpeed);
const start = copyState(initialState(car, plainStore), rotorSpeed(rotor, 0.4 * top));

/** Decisions of a lap with the engine always in gear, whose store takes or gives a share of its limit. */
function lapOf(driving: number): Uint8Array {
  const want = newWant();
  const state = copyState(start);
  return Uint8Array.from({ length: stages.count }, (_, k) => {
    const view = stages.lookAt(k, state);
    const limit = driving > 0 ? view.assistLimit : view.recoverLimit;
    const power = view.wheelPower > 0 ? driving * limit : -view.recoverLimit;
    let nearest = 0;
    let least = Number.POSITIVE_INFINITY;
    for (let i = 0; i < stages.offered(); i++) {
      stages.readOffer(i, want);
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

describe('a lap that is to close', () => {
  it.each([
    ['ends too full', -1],
    ['ends too empty', 0.125],
  ])('comes to end as full as it began, for a fair price, where it %s', (_name, driving) => {
    const lap = new ClosingLap(stages, rotor, start, lapOf(driving));
    const { gap, cost } = lap;
    expect(Math.sign(gap)).toBe(-Math.sign(driving));
    expect(Math.abs(gap)).toBeGreaterThan(5e-3 * top);
    expect(lap.close()).toBe(true);
    expect(lap.gap).toBeGreaterThanOrEqual(0);
    expect(lap.gap).toBeLessThan(1e-6 * top);
    // The engine gives a joule for 1 / 0.44 J of fuel, and the store loses some of it.
    const price = (lap.cost - cost) / -gap;
    expect(price).toBeGreaterThan(0);
    expect(price).toBeLessThan(2 / 0.44);
  });

  it('is what the simulator drives', () => {
    const lap = new ClosingLap(stages, rotor, start, lapOf(-1));
    lap.close();
    const plan = new Plan(stages.count);
    lap.write(plan);
    const driven = run(car, plainStore, demand, replayOf(plan), lap.start);
    expectWithin(totalFuel(car, driven), lap.cost, 1e-9);
    expect(Math.abs(driven.ledger.storeChange - lap.gap)).toBeLessThan(1e-3);
  });
});
