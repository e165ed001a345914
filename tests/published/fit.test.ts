/**
 * The closed forms behind the fits, against figures worked out outside of the program from elementary
 * formulas (closed form and quadrature agree there to 12 digits). The formulas of free-molecular shear
 * are of textbooks, from memory. Nothing here is a published measurement.
 */
import { describe, expect, it } from 'vitest';
import { HOUR, KMH, MPH, RPM } from '../../src/config/units.ts';
import { fitCoastdown } from '../../src/fit/coastdown.ts';
import { fitEngine } from '../../src/fit/engine.ts';
import { ENGINE_FORM, pointsOf } from '../../src/fit/engine-points.ts';
import { readMeasuredTable } from '../../src/fit/measured-table.ts';
import { speedAfter, timeBetween } from '../../src/fit/slowing.ts';
import { fitSpindown } from '../../src/fit/spindown.ts';
import { gasOf } from '../../src/fit/spindown-gas.ts';
import { FUELS } from '../../src/physics/fuel.ts';
import { expectWithin } from '../within.ts';

const POUND = 0.453_592_37;
const POUND_FORCE = POUND * 9.806_65;
/** Figures are printed to 0.001 s. */
const PRINTED = 5e-5;

describe('the coastdown of the fit', () => {
  it('lasts 75.233 s from 100 to 50 km/h with 120 N, 0.40 N/(m/s)² and 1545 kg', () => {
    const law = { a: 120 / 1545, b: 0, c: 0.4 / 1545 };
    expectWithin(timeBetween(law, 100 * KMH, 50 * KMH), 75.233, PRINTED);
  });

  it.each([
    { from: 55, to: 45, factor: 1, time: 18.824 },
    { from: 55, to: 45, factor: 1.015, time: 19.106 },
    { from: 55, to: 45, factor: 1.03, time: 19.389 },
    { from: 70, to: 15, factor: 1.03, time: 137.492 },
  ])(
    'lasts $time s from $from to $to mph, A 30, B 0.2, C 0.018, 3500 lb times $factor',
    (given) => {
      const mass = given.factor * 3500 * POUND;
      const law = {
        a: (30 * POUND_FORCE) / mass,
        b: (0.2 * POUND_FORCE) / MPH / mass,
        c: (0.018 * POUND_FORCE) / MPH ** 2 / mass,
      };
      expectWithin(timeBetween(law, given.from * MPH, given.to * MPH), given.time, PRINTED);
    },
  );

  it('gives A, B and C back: 133.447 N, 1.99008 N/(m/s), 0.400651 N/(m/s)²', () => {
    const [f0, f1, f2] = [133.447, 1.99008, 0.400651];
    const mass = 3500 * POUND;
    const law = { a: f0 / (1.03 * mass), b: f1 / (1.03 * mass), c: f2 / (1.03 * mass) };
    const time = Array.from({ length: 137 }, (_, t) => t);
    const run = { time, speed: time.map((t) => speedAfter(law, 70 * MPH, t)) };
    const { force } = fitCoastdown([{ there: run, back: run }], {
      mass,
      rotatingMass: 0.03 * mass,
    });
    expectWithin(force[0].value, f0, 1e-6);
    expectWithin(force[1].value, f1, 1e-6);
    expectWithin(force[2].value, f2, 1e-6);
  });
});

describe('the spin-down of the fit, 0.060 kg m² from 40 000 1/min', () => {
  const inertia = 0.06;
  const top = 40_000 * RPM;

  it.each([
    { power: 200, time: 1824.3 },
    { power: 500, time: 729.7 },
    { power: 1000, time: 364.9 },
  ])('has half of its energy after $time s with a linear drag of $power W', ({ power, time }) => {
    const law = { a: 0, b: power / (inertia * top * top), c: 0 };
    // Printed to 0.1 s.
    expectWithin(timeBetween(law, top, Math.SQRT1_2 * top), time, 0.05 / time + 1e-6);
    const samples = Array.from({ length: 300 }, (_, k) => 5 * k);
    const speed = samples.map((t) => speedAfter(law, top, t));
    const { halfEnergy, torqueAtStart } = fitSpindown({ time: samples, speed }, inertia);
    expectWithin(halfEnergy.value, time, 0.05 / time + 1e-6);
    expectWithin(torqueAtStart.value * top, power, 1e-6);
  });

  it('stands after 5263.8 s with a constant torque of 200 W, and has half its energy at 1541.7 s', () => {
    const law = { a: 200 / top / inertia, b: 0, c: 0 };
    expectWithin(timeBetween(law, top, 0), 5263.8, 1e-5);
    expectWithin(timeBetween(law, top, Math.SQRT1_2 * top), 1541.7, 4e-5);
  });

  it('in free molecules at 1 Pa loses 16.678 W and slows down by 1/e in 17.53 h', () => {
    const linear = 16.678 / top ** 2;
    const shape = { radius: 0.1, length: 0.06 };
    const chamber = { pressure: 1, temperature: 293.15, gap: 0.005, accommodation: 1 };
    const { pressure, knudsen } = gasOf({ value: linear, halfWidth: 0 }, shape, chamber);
    expectWithin(pressure.value, 1, 5e-5);
    expectWithin(knudsen, 1.318, 5e-4);
    const law = { a: 0, b: linear / inertia, c: 0 };
    expectWithin(timeBetween(law, top, top / Math.E) / HOUR, 17.53, 5e-4);
  });
});

/**
 * The affine form after Guzzella & Sciarretta, chapter 3 (from memory). The efficiencies are worked
 * out from the extra fuel for extra shaft work of Commission Implementing Decision (EU) 2020/728,
 * tables 2 and 3 (read): petrol 0.264 L/kWh, diesel 0.220 L/kWh.
 */
describe('the engine of the fit', () => {
  async function* piecesOf(text: string) {
    yield text;
  }

  it('with e 0.40, 1.6 bar and 1.6 L burns 283.0 g/kWh, 42.083 kW, at 2000 1/min and 60 N m', async () => {
    const line = (n: number, m: number, e = 0.4) => {
      const friction = (1.6e5 * 1.6e-3 * n * RPM) / (4 * Math.PI);
      const power = (n * RPM * m + friction) / e;
      return `${n},${m},${(3.6e9 * power) / FUELS.petrol.heatingValue / (n * RPM * m)}`;
    };
    const speeds = [1000, 2000, 3000];
    const rows = speeds.flatMap((n) => [30, 60, 90].map((m) => line(n, m)));
    expectWithin(Number(rows[4]!.split(',')[2]), 283.0, 2e-4);
    const table = await readMeasuredTable(
      piecesOf(['speed_rpm,torque_Nm,bsfc_g_per_kWh', ...rows].join('\n')),
      'points.csv',
      ENGINE_FORM,
    );
    const points = pointsOf(table, FUELS.petrol, 1.6e-3);
    expectWithin(points.fuelPower[4]!, 42_083, 2e-5);
    const { efficiency, pressure0, pressure1 } = fitEngine(points, 1.6e-3);
    expectWithin(efficiency.value, 0.4, 1e-6);
    expectWithin(pressure0.value, 1.6e5, 1e-5);
    expect(Math.abs(pressure1.value)).toBeLessThan(1e-2);
  });

  it.each([
    { name: 'petrol', fuel: FUELS.petrol, litresPerKwh: 0.264, efficiency: 0.43 },
    { name: 'diesel', fuel: FUELS.diesel, litresPerKwh: 0.22, efficiency: 0.459 },
  ])('has a slope of $efficiency where $litresPerKwh L of $name make a kWh more', (given) => {
    const { density, heatingValue } = given.fuel;
    // Printed to three digits.
    expectWithin(3.6e6 / (given.litresPerKwh * density * heatingValue), given.efficiency, 2e-3);
  });
});
