/**
 * Cycle energy demand after UN GTR 15, Annex 7, paragraph 5 (the formula from memory, not re-read):
 *   E = Σ F_i d_i over F_i > 0,
 *   F_i = f0 + f1 v̄ + f2 v̄² + 1.03 TM a, with the mean v̄ of the speeds at both ends.
 * Case: f0 = 100 N, f1 = 0.5 N/(km/h), f2 = 0.03 N/(km/h)², TM = 1500 kg. The figures are computed
 * here from the cycle tables, by a separate program; tolerance 0.01 %.
 */
import { describe, expect, it } from 'vitest';
import { KILO, KILOMETRE, KMH } from '../../src/config/units.ts';
import { distance, intervalCount } from '../../src/cycle/trace.ts';
import { type RoadLoad, roadLoadForce } from '../../src/physics/road-load.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { cycleNamed, plainCar } from '../fixtures.ts';
import { expectWithin } from '../within.ts';

const TOLERANCE = 1e-4;

const roadLoad: RoadLoad = { rolling: 100, linear: 0.5 / KMH, square: 0.03 / KMH ** 2, wind: 0 };
const figures = [
  { cycle: 'nedc', energy: 4483.01, distance: 11_028.19, perKm: 406.505, negative: 1485.92 },
  { cycle: 'udds', energy: 4932.98, distance: 11_990.24, perKm: 411.416, negative: 2417.28 },
];

describe.each(figures)('the energy demand of $cycle', (figure) => {
  const trace = cycleNamed(figure.cycle);

  it('is that of the regulation’s formula with the model’s road-load force', () => {
    let positive = 0;
    let negative = 0;
    for (let k = 0; k < intervalCount(trace); k++) {
      const dt = trace.time[k + 1]! - trace.time[k]!;
      const mean = 0.5 * (trace.speed[k]! + trace.speed[k + 1]!);
      const acceleration = (trace.speed[k + 1]! - trace.speed[k]!) / dt;
      const force = roadLoadForce(roadLoad, mean) + 1.03 * 1500 * acceleration;
      if (force > 0) positive += force * mean * dt;
      else negative -= force * mean * dt;
    }
    expectWithin(positive, figure.energy * KILO, TOLERANCE);
    expectWithin(negative, figure.negative * KILO, TOLERANCE);
    expectWithin(distance(trace), figure.distance, TOLERANCE);
    expectWithin(positive / KILO / (distance(trace) / KILOMETRE), figure.perKm, TOLERANCE);
  });

  it('is that of the simulator’s own demand, whose means are exact within each interval', () => {
    const car = { ...plainCar, mass: 1500, rotatingMass: 45, roadLoad };
    const demand = new Demand(car, undefined, trace);
    expect(demand.block(0)).toBe(intervalCount(trace));
    let positive = 0;
    let negative = 0;
    for (let i = 0; i < demand.count; i++) {
      const energy = demand.wheel[i]! * demand.dt[i]!;
      if (energy > 0) positive += energy;
      else negative -= energy;
    }
    expectWithin(positive, figure.energy * KILO, TOLERANCE);
    expectWithin(negative, figure.negative * KILO, TOLERANCE);
  });
});
