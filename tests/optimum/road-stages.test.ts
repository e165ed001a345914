import { describe, expect, it } from 'vitest';
import { firstCourse } from '../../src/optimum/course.ts';
import { Choice, solve } from '../../src/optimum/dynamic-programming.ts';
import { LEVELS } from '../../src/optimum/offers.ts';
import { RoadStages } from '../../src/optimum/road-stages.ts';
import { straightTube, Values } from '../../src/optimum/values.ts';
import { rotorEnergy } from '../../src/physics/rotor.ts';
import { type Car, fitStore } from '../../src/simulate/car.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { copyState } from '../../src/simulate/state.ts';
import { cycleNamed, plainCar, plainStore } from '../fixtures.ts';
import { expectWithin } from '../within.ts';

const car = fitStore(plainCar, plainStore);
const { engine } = car;
const restart = { ...engine.restart, minimumOn: 4, minimumOff: 3 };
/** One whose engine has ages both on and off. */
const slowCar = { ...car, engine: { ...engine, restart } };
const demand = new Demand(car, plainStore, cycleNamed('nycc'), 598);
demand.block(0);
const { rotor } = plainStore;

function solved(of: Car, last: number) {
  const course = firstCourse(of, plainStore, demand);
  const stages = new RoadStages(of, plainStore, demand, LEVELS, course);
  const values = new Values(stages, straightTube(0, rotor.maxSpeed, 8, stages.count));
  solve(stages, values, (speed) => -3 * rotorEnergy(rotor, speed), last);
  return { stages, values };
}

describe('the stages of a road', () => {
  it.each([
    ['an engine with short minimum times', car],
    ['one with long ones', slowCar],
  ])('weigh all lanes at once as each decision is weighed by itself: %s', (_name, of) => {
    const { stages, values } = solved(of, 300);
    const least = new Float64Array(stages.lanes);
    const x = 0.61 * rotor.maxSpeed;
    const single = new Choice();
    let compared = 0;
    for (let stage = 1; stage < 300; stage += 3) {
      stages.weigh(stage, x, values, least);
      const { low, high, width } = stages.debts;
      for (let kind = 0; kind < stages.kinds; kind++) {
        for (let debt = low[stage]!; debt <= high[stage]!; debt++) {
          single.clear();
          stages.tryFrom(stage, copyState(stages.stateAt(stage, kind, debt, x)), values, single);
          expectWithin(least[kind * width + debt - low[stage]!]!, single.total, 1e-9);
          compared++;
        }
      }
    }
    expect(compared).toBeGreaterThan(1000);
  });
});
