import type { Axles } from '../physics/axle.ts';
import type { Electrics } from '../physics/electrics.ts';
import type { Engine } from '../physics/engine.ts';
import type { DrivenAxle } from '../physics/full-load.ts';
import type { Gearbox } from '../physics/gearbox.ts';
import type { RoadLoad } from '../physics/road-load.ts';
import type { Store } from '../physics/store.ts';

/** What only driving at full load asks of a car; no drive cycle is touched by it. */
export interface SprintTraits {
  readonly driven: DrivenAxle;
  /** Greatest force of the tyres over normal load, μ */
  readonly tyreAdhesion: number;
  /** The engine passes nothing on for so long in each change of gear [s] */
  readonly shiftTime: number;
  /** Engine speed held while the launch device slips at full load [rad/s] */
  readonly launchSpeed: number;
}

/** A car, resolved: SI, every default filled in. */
export interface Car {
  readonly name: string;
  /** Test mass without a store [kg] */
  readonly mass: number;
  /** Equivalent mass of wheels and axles; engine and store rotors are booked apart [kg] */
  readonly rotatingMass: number;
  /** Dynamic rolling radius [m] */
  readonly tyreRadius: number;
  readonly roadLoad: RoadLoad;
  readonly axles: Axles;
  readonly gearbox: Gearbox;
  readonly engine: Engine;
  readonly electrics: Electrics;
  readonly sprint: SprintTraits;
}

/**
 * The car with a store fitted: its mass, the rolling force that grows with it, and the store's
 * electrical auxiliaries. The other road-load coefficients do not change with mass.
 */
export function fitStore(car: Car, store: Store): Car {
  const mass = car.mass + store.mass;
  return {
    ...car,
    mass,
    roadLoad: { ...car.roadLoad, rolling: car.roadLoad.rolling * (mass / car.mass) },
    electrics: { ...car.electrics, load: car.electrics.load + store.auxiliaryPower },
  };
}
