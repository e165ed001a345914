/**
 * Road load against outside sources. Status of each figure:
 * - read: the figure stands in the source named, which was read.
 * - computed here: an elementary formula, worked out once outside the program.
 */
import { describe, expect, it } from 'vitest';
import { DEGREE, KILO, KMH, MPH } from '../../src/config/units.ts';
import { traceFromSamples } from '../../src/cycle/samples.ts';
import { inputSpeedRatio } from '../../src/physics/gearbox.ts';
import {
  aerodynamicPower,
  gradeForce,
  type RoadLoad,
  roadLoadForce,
  rollingForce,
  rollingPower,
} from '../../src/physics/road-load.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { plainCar } from '../fixtures.ts';
import { expectWithin } from '../within.ts';

/** The sources below reckon with 9.81 m/s². */
const G = 9.81;

/** Newton per pound-force: 0.45359237 kg · 9.80665 m/s², exact by definition. */
const POUND_FORCE = 4.448_221_615_260_5;

function airOnly(dragArea: number): RoadLoad {
  return { rolling: 0, linear: 0, square: 0.5 * 1.2 * dragArea, wind: 0 };
}

describe('a worked exercise of a university course (Week 2 assignment, question 2.1; read)', () => {
  // Car: 1500 kg, c_d 0.3, 2.5 m², c_r 0.015; three-wheeler: 600 kg, 0.45, 1.6 m², 0.015.
  // Air 1.2 kg/m³, slope of 8°. Printed to a hundredth of a newton, sometimes cut off there.
  const A_HUNDREDTH = 0.01;
  const slope = 8 * DEGREE;
  it.each([
    {
      mass: 1500,
      dragArea: 0.3 * 2.5,
      drag30: 31.25,
      drag80: 222.22,
      grade: 2047.93,
      roll: 218.57,
    },
    { mass: 600, dragArea: 0.45 * 1.6, drag30: 30, drag80: 213.33, grade: 819.17, roll: 87.43 },
  ])('gives drag, grade and rolling force of a vehicle of $mass kg', (vehicle) => {
    const { mass, dragArea, drag30, drag80, grade, roll } = vehicle;
    const load = airOnly(dragArea);
    const near = (actual: number, printed: number) =>
      expect(Math.abs(actual - printed)).toBeLessThan(A_HUNDREDTH);
    near(roadLoadForce(load, 30 * KMH), drag30);
    near(roadLoadForce(load, 80 * KMH), drag80);
    near(gradeForce(mass, Math.sin(slope), G), grade);
    near(rollingForce(mass, 0.015, Math.cos(slope), G), roll);
  });
});

describe('US coefficients A = 30 lbf, B = 0.2 lbf/mph, C = 0.018 lbf/mph² (an invented set)', () => {
  const load: RoadLoad = {
    rolling: 30 * POUND_FORCE,
    linear: (0.2 * POUND_FORCE) / MPH,
    square: (0.018 * POUND_FORCE) / MPH ** 2,
    wind: 0,
  };

  it('are 133.447 N, 1.99008 N/(m/s) and 0.400651 N/(m/s)²', () => {
    // computed here; tolerance 0.01 %
    expectWithin(load.rolling, 133.447, 1e-4);
    expectWithin(load.linear, 1.990_08, 1e-4);
    expectWithin(load.square, 0.400_651, 1e-4);
  });

  it('ask for 85 lbf at 50 mph: 8.451 kW', () => {
    // computed here; tolerance 0.01 %
    const v = 50 * MPH;
    expectWithin(roadLoadForce(load, v) / POUND_FORCE, 85, 1e-12);
    expectWithin(aerodynamicPower(load, v, v) + rollingPower(load, v, v, v), 8451, 1e-4);
  });
});

describe('a car of 1500 kg, 0.7 m² and 0.012 in air of 1.2 kg/m³ (all computed here)', () => {
  const load: RoadLoad = { ...airOnly(0.7), rolling: 1500 * G * 0.012 };
  const levelPower = (v: number) => aerodynamicPower(load, v, v) + rollingPower(load, v, v, v);

  it('needs 13.907 kW at 100 km/h', () => {
    expectWithin(levelPower(100 * KMH), 13_907, 5e-5);
  });

  it('uses up 90 kW at 207.00 km/h', () => {
    expectWithin(levelPower(207 * KMH), 90_000, 1e-4);
  });

  it('needs 28.111 kW at 80 km/h on a grade of 6 %', () => {
    const angle = Math.atan(0.06);
    const v = 80 * KMH;
    const power =
      aerodynamicPower(load, v, v) +
      rollingPower(load, v, v, v * Math.cos(angle)) +
      gradeForce(1500, Math.sin(angle), G) * v;
    expectWithin(power, 28_111, 5e-5);
  });

  it.each([
    { kmh: 50, energy: 144.676 },
    { kmh: 100, energy: 578.704 },
  ])('gives $energy kJ of kinetic energy to a stop from $kmh km/h', ({ kmh, energy }) => {
    const trace = traceFromSamples({
      name: 'stop',
      time: Float64Array.of(0, 10),
      speed: Float64Array.of(kmh * KMH, 0),
    });
    const car = { ...plainCar, mass: 1500, rotatingMass: 0 };
    const demand = new Demand(car, undefined, trace);
    demand.block(0);
    expectWithin(-demand.kinetic[0]! * 10, energy * KILO, 1e-5);
  });
});

describe('rotating masses', () => {
  it('of an engine of 0.15 kg m² through a ratio of 12 on a tyre of 0.3 m weigh 240 kg', () => {
    // Θ i² / r², computed here
    const gearbox = { ...plainCar.gearbox, ratios: Float64Array.of(4), finalDriveRatio: 3 };
    expectWithin(0.15 * inputSpeedRatio(gearbox, 1, 0.3) ** 2, 240, 1e-12);
  });

  it('of 3 % turn 1500 kg into the 1545 kg that the wheels feel', () => {
    // The convention of UN GTR 15, from memory; m a v̄ with a = 1 m/s², v̄ = 5 m/s computed here
    const trace = traceFromSamples({
      name: 'pull',
      time: Float64Array.of(0, 10),
      speed: Float64Array.of(0, 10),
    });
    const demand = new Demand({ ...plainCar, mass: 1500, rotatingMass: 45 }, undefined, trace);
    demand.block(0);
    expectWithin(demand.kinetic[0]!, 1545 * 5, 1e-14);
  });
});
