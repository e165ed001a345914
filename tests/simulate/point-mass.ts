import { Curve } from '../../src/physics/curve.ts';
import type { Car } from '../../src/simulate/car.ts';
import { FullLoadDrive, type SprintDrive } from '../../src/simulate/sprint-drive.ts';
import type { SprintGoal } from '../../src/simulate/sprint-goals.ts';
import { plainCar } from '../fixtures.ts';

/** A mass that is pushed with a constant force up to a speed and with a constant power beyond it. */
export interface PointMass {
  /** [kg] */
  readonly mass: number;
  /** [N] */
  readonly force: number;
  /** [W] */
  readonly power: number;
  /** Rolling resistance on the flat [N] */
  readonly rolling?: number;
  /** Air force for each (m/s)² [N] */
  readonly square?: number;
}

/** Fastest that its one gear goes [m/s]. */
const TOP = 100;
/** Points of its full-load curve above the corner: linear between them within 1e-7 of P / ω. */
const POINTS = 4000;

/** Such a mass as a car: one gear of 1 rad/s for each m/s, no losses, no inertia but its mass. */
export function pointMass({ mass, force, power, rolling = 0, square = 0 }: PointMass): Car {
  const corner = power / force;
  const speeds = Array.from(
    { length: POINTS },
    (_, k) => corner * (TOP / corner) ** (k / (POINTS - 1)),
  );
  return {
    ...plainCar,
    mass,
    rotatingMass: 0,
    tyreRadius: 1,
    roadLoad: { rolling, linear: 0, square, wind: 0 },
    gearbox: {
      ...plainCar.gearbox,
      ratios: Float64Array.of(1),
      efficiency: Float64Array.of(1),
      dragTorque: 0,
      finalDriveRatio: 1,
      finalDriveEfficiency: 1,
    },
    engine: {
      ...plainCar.engine,
      inertia: 0,
      maxSpeed: TOP,
      fullLoad: new Curve([0, ...speeds], [force, ...speeds.map((speed) => power / speed)]),
    },
    electrics: { ...plainCar.electrics, load: 0 },
    sprint: { driven: 'both', tyreAdhesion: 10, shiftTime: 0, launchSpeed: 1e-3 },
  };
}

/** Time step of the tests [s], that of the program. */
export const STEP = 0.01;

/** A standing start of a car on its own. */
export function standingStart(car: Car, goals: readonly SprintGoal[], sine = 0): SprintDrive {
  const road = { sine, adhesion: car.sprint.tyreAdhesion };
  return new FullLoadDrive(car, undefined, road, { speed: 0, rotorSpeed: 0 }, goals, STEP).run();
}
