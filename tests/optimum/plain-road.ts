import type { Store } from '../../src/physics/store.ts';
import type { Car } from '../../src/simulate/car.ts';
import { plainCar, plainStore } from '../fixtures.ts';

/**
 * The plain car with an engine that costs nothing but its work: no friction, no inertia, no start, no
 * accessories, and so slow an engagement that nothing slips. Fuel is linear in the engine's work.
 */
export const linearCar: Car = {
  ...plainCar,
  rotatingMass: 0,
  gearbox: {
    ...plainCar.gearbox,
    dragTorque: 0,
    launch: { device: 'clutch', engagementSpeed: 0.01, creepTorque: 0 },
  },
  engine: {
    ...plainCar.engine,
    idleSpeed: 0.01,
    cutSpeed: 0.01,
    inertia: 0,
    frictionPressure0: 0,
    frictionPressure1: 0,
    restart: { fuelEnergy: 0, electricalEnergy: 0, minimumOn: 0, minimumOff: 0 },
  },
  electrics: { ...plainCar.electrics, load: 0 },
};

/** A store with one efficiency, any ratio, and a drag in proportion to its energy. */
export const linearStore: Store = {
  ...plainStore,
  rotor: {
    ...plainStore.rotor,
    inertia: 0.01,
    minSpeed: 2000,
    maxSpeed: 6000,
    drag: { form: 'coefficients', c0: 0, c1: 2e-5, c2: 0 },
  },
  transmission: { type: 'ideal' },
  losses: { form: 'efficiency', share: 0.1 },
  auxiliaryPower: 0,
};
