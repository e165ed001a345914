/**
 * Coastdown: M_e dv/dt = −F(v) with the project's own road-load force, solved by an independent
 * solver, against closed forms. All figures are computed here (closed form and quadrature outside
 * the program agree to 12 digits); the tolerance asked of a road-load model is 0.1 %.
 */
import { describe, expect, it } from 'vitest';
import { KMH, MPH } from '../../src/config/units.ts';
import { traceFromSamples } from '../../src/cycle/samples.ts';
import { type RoadLoad, roadLoadForce } from '../../src/physics/road-load.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { plainCar } from '../fixtures.ts';
import { expectWithin } from '../within.ts';
import { solveOde } from './ode.ts';

const POUND = 0.453_592_37;
const POUND_FORCE = POUND * 9.806_65;

const TOLERANCE = 1e-3;
/** Figures are printed to 0.001 s and 0.01 m. */
const PRINTED = 5e-5;

/** Time and distance of a coastdown; the speed is the variable the solver runs along. */
function coastdown(load: RoadLoad, mass: number, from: number, to: number) {
  const [time, distance] = solveOde(
    (v) => {
      const perSpeed = -mass / roadLoadForce(load, v);
      return [perSpeed, perSpeed * v];
    },
    from,
    [0, 0],
    to,
  );
  return { time: time!, distance: distance! };
}

/**
 * Largest power at the wheels, over that of the road load, that the simulator sees in a coastdown
 * sampled at 1 Hz. Not quite nothing, since its speed is a chord of the curve within each second.
 */
function wheelShare(load: RoadLoad, mass: number, speed: Float64Array): number {
  const time = speed.map((_, k) => k);
  const car = { ...plainCar, mass: mass / 1.03, rotatingMass: mass - mass / 1.03, roadLoad: load };
  const demand = new Demand(car, undefined, traceFromSamples({ name: 'coast', time, speed }));
  const held = demand.block(0);
  let largest = 0;
  for (let i = 0; i < held; i++) {
    const share = Math.abs(demand.wheel[i]!) / (demand.aerodynamic[i]! + demand.rolling[i]!);
    largest = Math.max(largest, share);
  }
  return largest;
}

describe('a coastdown with F0 = 120 N and F2 = 0.40 N/(m/s)², 1545 kg, from 100 to 50 km/h', () => {
  const load: RoadLoad = { rolling: 120, linear: 0, square: 0.4, wind: 0 };
  const mass = 1545;
  const v1 = 100 * KMH;
  const v2 = 50 * KMH;
  const rate = Math.sqrt((0.4 * 120) / mass ** 2);
  const angle = (v: number) => Math.atan(v * Math.sqrt(0.4 / 120));

  it('lasts 75.233 s and 1499.82 m', () => {
    const { time, distance } = coastdown(load, mass, v1, v2);
    expectWithin(time, 75.233, PRINTED);
    expectWithin(distance, 1499.82, PRINTED);
  });

  it('follows the closed form', () => {
    const { time, distance } = coastdown(load, mass, v1, v2);
    expectWithin(time, (angle(v1) - angle(v2)) / rate, 1e-9);
    const log = Math.log((120 + 0.4 * v1 ** 2) / (120 + 0.4 * v2 ** 2));
    expectWithin(distance, (mass / 0.8) * log, 1e-9);
  });

  it('asks nothing of the wheels when the simulator drives it', () => {
    const { time } = coastdown(load, mass, v1, v2);
    const speedAt = (t: number) => Math.tan(angle(v1) - rate * t) / Math.sqrt(0.4 / 120);
    const speed = Float64Array.from({ length: Math.floor(time) + 1 }, (_, t) => speedAt(t));
    expect(wheelShare(load, mass, speed)).toBeLessThan(TOLERANCE);
  });
});

describe('a coastdown with A = 30 lbf, B = 0.2 lbf/mph, C = 0.018 lbf/mph², 3500 lb', () => {
  // An invented but plausible set: no full row of coefficients could be read.
  const load: RoadLoad = {
    rolling: 30 * POUND_FORCE,
    linear: (0.2 * POUND_FORCE) / MPH,
    square: (0.018 * POUND_FORCE) / MPH ** 2,
    wind: 0,
  };
  const mass = 3500 * POUND;

  it.each([
    { from: 55, to: 45, factor: 1, time: 18.824, distance: 419.1 },
    { from: 55, to: 45, factor: 1.015, time: 19.106, distance: 425.39 },
    { from: 55, to: 45, factor: 1.03, time: 19.389, distance: 431.68 },
    { from: 70, to: 15, factor: 1.03, time: 137.492, distance: 2254.37 },
  ])(
    'lasts $time s and $distance m from $from to $to mph with a mass factor of $factor',
    (given) => {
      const run = coastdown(load, given.factor * mass, given.from * MPH, given.to * MPH);
      expectWithin(run.time, given.time, PRINTED);
      expectWithin(run.distance, given.distance, PRINTED);
    },
  );

  it('asks nothing of the wheels when the simulator drives it', () => {
    const rolling = 1.03 * mass;
    const speeds = [70 * MPH];
    while (speeds.at(-1)! > 15 * MPH) {
      const slowing = (_: number, [v]: readonly number[]) => [-roadLoadForce(load, v!) / rolling];
      speeds.push(...solveOde(slowing, 0, [speeds.at(-1)!], 1));
    }
    expect(speeds).toHaveLength(139); // 137.492 s, and the second in which 15 mph is passed
    expect(wheelShare(load, rolling, Float64Array.from(speeds))).toBeLessThan(TOLERANCE);
  });
});
