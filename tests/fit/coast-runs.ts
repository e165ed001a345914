import type { CoastPair, CoastRun } from '../../src/fit/coastdown.ts';
import { GRAVITY } from '../../src/physics/air.ts';
import { roadLoadForce } from '../../src/physics/road-load.ts';

/** What rolls in the invented runs of these tests. */
export const MASS = { mass: 1590, rotatingMass: 47.7 };

/** Its road load: F0 [N], F1 [N/(m/s)], F2 [N/(m/s)²]. */
export const FORCE = [140, 1.1, 0.38] as const;

/** Normal noise of standard deviation 1 (Box and Muller). */
export function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/** What differs from run to run. */
export interface Circumstances {
  /** Against the car on its way there [m/s] */
  readonly wind: number;
  /** Up on the way there */
  readonly slope: number;
  /** Adds to a measured speed [m/s] */
  readonly noise: () => number;
  /** Between samples [s] */
  readonly step: number;
  readonly from: number;
  readonly to: number;
}

/**
 * Coastdown runs both ways, with speeds by Runge and Kutta's fourth order, which shares nothing with
 * the closed form that the fit uses.
 */
export function coastPair(at: Circumstances): CoastPair {
  return { there: coastRun(at, 1), back: coastRun(at, -1) };
}

function coastRun({ wind, slope, noise, step, from, to }: Circumstances, way: 1 | -1): CoastRun {
  const [rolling, linear, square] = FORCE;
  const load = { rolling, linear, square, wind: way * wind };
  const grade = way * slope * MASS.mass * GRAVITY;
  const rate = (v: number) => -(roadLoadForce(load, v) + grade) / (MASS.mass + MASS.rotatingMass);
  const time: number[] = [];
  const speed: number[] = [];
  for (let v = from, k = 0; v > to; k++) {
    time.push(k * step);
    speed.push(v + noise());
    const k1 = rate(v);
    const k2 = rate(v + 0.5 * step * k1);
    const k3 = rate(v + 0.5 * step * k2);
    v += (step / 6) * (k1 + 2 * k2 + 2 * k3 + rate(v + step * k3));
  }
  return { time, speed };
}
