import type { DriveLog } from '../../src/fit/drive-log.ts';
import { DriveSeries } from '../../src/fit/drive-series.ts';
import type { Car } from '../../src/simulate/car.ts';
import { combine } from '../../src/strategy/combine.ts';
import { plainCar, plainStore } from '../fixtures.ts';
import { stopAndGo } from '../simulate/drives.ts';

/** A drive of two rounds from rest to rest, and a strategy that recovers and assists. */
export const TRACE = stopAndGo(2);
export const START = 3000;

const strategy = () =>
  combine('plain', {
    stopStart: { delay: 0 },
    recover: { share: 1, minPower: 0 },
    assist: {
      launchBelow: 8,
      accelerationAbove: 0.3,
      share: 0.4,
      floor: 0.05,
      coverShortfall: false,
    },
  });

/** One drive of the plain car with another mass and efficiency, from a rotor speed [rad/s]. */
export function drivenBy([mass, efficiency]: readonly number[], rotorSpeed = START): DriveSeries {
  const car: Car = {
    ...plainCar,
    mass: mass!,
    engine: { ...plainCar.engine, fuelUse: { form: 'affine', efficiency: efficiency! } },
  };
  return new DriveSeries(car, plainStore, TRACE, strategy, rotorSpeed);
}

/** No noise. */
const none = (): number => 0;

/** What a logger with noise on its sensors has of a drive, a row a second from `before` seconds on. */
export function logOf(
  series: DriveSeries,
  { before = 0, rotorNoise = none, fuelNoise = none } = {},
): DriveLog {
  const time = Float64Array.from({ length: before + Math.floor(series.duration) + 1 }, (_, t) => t);
  const at = (t: number) => Math.max(t - before, 0);
  return {
    time,
    speed: time.map((t) => series.speed(at(t))),
    fuel: time.map((t) => series.burned(at(t) + 1) - series.burned(at(t)) + fuelNoise()),
    rotorSpeed: time.map((t) => series.rotorSpeed(at(t)) + rotorNoise()),
    engineOn: time.map((t) => series.engineOn(at(t))),
    step: 1,
  };
}
