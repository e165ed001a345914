import { describe, expect, it } from 'vitest';
import { loadCase } from '../../src/config/load.ts';
import { DefectError, InputError } from '../../src/config/problem.ts';
import { cut } from '../../src/cycle/compose.ts';
import { findBound } from '../../src/optimum/bound.ts';
import { lossesAlong } from '../../src/optimum/losses.ts';
import { fitStore } from '../../src/simulate/car.ts';
import { runCase } from '../../src/simulate/case.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { type Run, run } from '../../src/simulate/run.ts';
import { copyState, initialState } from '../../src/simulate/state.ts';
import { combine } from '../../src/strategy/combine.ts';
import type { StrategyMaker } from '../../src/strategy/contract.ts';
import { cycleNamed, plainCar, plainStore } from '../fixtures.ts';
import { expectWithin } from '../within.ts';

const store = plainStore;
const car = fitStore(plainCar, store);
const trace = cut(cycleNamed('nycc'), 0, 120);
const demand = new Demand(car, store, trace);
const found = findBound(car, store, trace, 1);
const coast: StrategyMaker = () =>
  combine('coast', { stopStart: { delay: 0 }, coast: { floor: 0.05, maxSpeed: 40 } });
const lap = run(car, store, demand, coast(), initialState(car, store));

const along = (made: StrategyMaker, of: Run) => lossesAlong(found, car, store, demand, made, of);

describe('losses along a lap', () => {
  it('are counted on the lap that is asked for', () => {
    expect(along(coast, lap).length).toBeGreaterThan(0);
  });

  it('are refused of a strategy that answers otherwise than before', () => {
    expect(() => along(() => combine('idle', {}), lap)).toThrow(InputError);
  });

  it('are a defect where they were counted on a lap that ends elsewhere', () => {
    // Fuel and rotor are those of the lap, so that the strategy is not to blame; the debt is another.
    const end = { ...copyState(lap.end), batteryDebt: lap.end.batteryDebt + 1 };
    expect(() => along(coast, { ...lap, end })).toThrow(DefectError);
    expect(() => along(coast, { ...lap, end })).toThrow(/ends with a batteryDebt of/);
  });
});

describe.each([
  ['of a car whose engine warms up', 'van', 'rim-45'],
  ['of a store that holds far more than a stop takes', 'compact', 'large'],
])('losses %s', async (_name, carName, storeName) => {
  const paths = { car: carName, store: storeName, cycle: 'nycc' };
  const { subject: fixed } = await loadCase({ ...paths, strategy: 'coast' });
  const bound = findBound(fitStore(fixed.car, fixed.store), fixed.store, fixed.trace, 2);

  it.each(['coast', 'stop-start', 'recover', 'assist-stop'])(
    'add up to the distance from the bound: %s',
    async (strategy) => {
      const { subject } = await loadCase({ ...paths, strategy });
      const { withStore, fittedCar } = runCase(subject);
      const found = lossesAlong(
        bound,
        fittedCar,
        fixed.store,
        new Demand(fittedCar, fixed.store, fixed.trace),
        subject.makeStrategy,
        withStore.run,
      );
      const lost = found.reduce((sum, { loss }) => sum + loss, 0);
      const gap = withStore.fuel - bound.fuel;
      expect(gap).toBeGreaterThan(0.1 * bound.fuel);
      expectWithin(lost, gap, 0.1);
    },
  );
});
