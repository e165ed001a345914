import type { Store } from '../physics/store.ts';
import type { Car } from './car.ts';
import { SprintForces } from './sprint-forces.ts';

/** Standing still, as far as grades are concerned [m/s]. */
const CRAWL = 1e-3;
/** An instant: no energy of the store is spent in it [s]. */
const INSTANT = 1e-3;
/** Steepest road that is tried: 84°, where no tyre holds. */
const STEEPEST = 0.995;
/** Halvings of the range of slopes: enough for a double. */
const HALVINGS = 50;

/**
 * Steepest road on which a car keeps its speed at full load, for a moment: a store pushes only as
 * long as it lasts.
 * @param car with the store's mass where one is fitted
 * @param store or none
 * @param adhesion μ of the tyres
 * @param rotorSpeed of the store [rad/s]
 * @param speed [m/s]; 0 for moving off
 * @returns tan θ; undefined where it cannot keep that speed on the flat
 */
export function steepestGrade(
  car: Car,
  store: Store | undefined,
  adhesion: number,
  rotorSpeed: number,
  speed: number,
): number | undefined {
  const forces = new SprintForces(car, store, adhesion);
  const at = Math.max(speed, CRAWL);
  const gear = forces.gearOfMostPull(at);
  const holds = (sine: number): boolean => {
    forces.solve(at, INSTANT, gear, false, rotorSpeed, sine);
    return forces.acceleration >= 0;
  };
  if (forces.pullInGear(gear, at) === 0 || !holds(0)) return undefined;
  let low = 0;
  let high = STEEPEST;
  for (let i = 0; i < HALVINGS; i++) {
    const middle = 0.5 * (low + high);
    if (holds(middle)) low = middle;
    else high = middle;
  }
  return low / Math.sqrt(1 - low * low);
}

/** What a store adds to the acceleration where it adds most. */
export interface PeakGain {
  /** [m/s²] */
  readonly acceleration: number;
  /** [m/s] */
  readonly speed: number;
}

/** Speeds that are tried for the greatest gain, this far apart [m/s]: 0.5 km/h. */
const APART = 0.5 / 3.6;

/**
 * Greatest gain in acceleration at the same speed, each car in its gear with the most pull, the
 * store as full as it is given; a moment's figure.
 * @param bare the car without the store
 * @param fitted the car with the store's mass
 * @param store
 * @param road sin θ and μ of the tyres
 * @param rotorSpeed of the store [rad/s]
 * @param topSpeed up to which speeds are tried [m/s]
 * @returns undefined for a car that does not move
 */
export function peakGain(
  bare: Car,
  fitted: Car,
  store: Store,
  road: { readonly sine: number; readonly adhesion: number },
  rotorSpeed: number,
  topSpeed: number,
): PeakGain | undefined {
  const without = new SprintForces(bare, undefined, road.adhesion);
  const withStore = new SprintForces(fitted, store, road.adhesion);
  let best: PeakGain | undefined;
  for (let k = 1; k * APART <= topSpeed; k++) {
    const speed = k * APART;
    const gear = without.gearOfMostPull(speed);
    without.solve(speed, INSTANT, gear, false, 0, road.sine);
    withStore.solve(speed, INSTANT, gear, false, rotorSpeed, road.sine);
    const acceleration = withStore.acceleration - without.acceleration;
    if (best === undefined || acceleration > best.acceleration) best = { acceleration, speed };
  }
  return best;
}
