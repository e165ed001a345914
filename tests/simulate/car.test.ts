import { describe, expect, it } from 'vitest';
import { fitStore } from '../../src/simulate/car.ts';
import { plainCar, plainStore } from '../fixtures.ts';
import { between, seeded } from '../seeded.ts';
import { expectWithin } from '../within.ts';

describe('a car with a store fitted', () => {
  it('weighs more, rolls harder in proportion, and has the store’s electrical load on top', () => {
    const car = fitStore(plainCar, plainStore);
    expect(car.mass).toBe(1760);
    expectWithin(car.roadLoad.rolling, (plainCar.roadLoad.rolling * 1760) / 1700, 1e-12);
    expect(car.electrics.load).toBe(400);
  });

  it('is otherwise the same car', () => {
    const { mass, roadLoad, electrics, ...rest } = fitStore(plainCar, plainStore);
    const { mass: _, roadLoad: bareLoad, electrics: bareElectrics, ...bare } = plainCar;
    expect(rest).toEqual(bare);
    expect(mass).toBeGreaterThan(plainCar.mass);
    expect({ ...roadLoad, rolling: 0 }).toEqual({ ...bareLoad, rolling: 0 });
    expect({ ...electrics, load: 0 }).toEqual({ ...bareElectrics, load: 0 });
  });

  it('is exactly the same car when the store weighs and draws nothing', () => {
    const random = seeded(3);
    for (let k = 0; k < 1000; k++) {
      const mass = between(random, 500, 3500);
      const rolling = between(random, 50, 400);
      const bare = { ...plainCar, mass, roadLoad: { ...plainCar.roadLoad, rolling } };
      expect(fitStore(bare, { ...plainStore, mass: 0, auxiliaryPower: 0 })).toEqual(bare);
    }
  });
});
