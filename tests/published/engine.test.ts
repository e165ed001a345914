/**
 * Engine and fuel against outside sources. Status of each figure:
 * - read: the figure stands in the source named, which was read.
 * - from memory: believed to stand in the source named; not looked up.
 * - computed here: an elementary formula, worked out once outside the program.
 */
import { describe, expect, it } from 'vitest';
import { BAR, GRAM, HOUR, KILOWATT_HOUR, LITRE, MEGA, RPM } from '../../src/config/units.ts';
import {
  type Engine,
  frictionPower,
  fuelPower,
  meanPressurePower,
} from '../../src/physics/engine.ts';
import { carbonDioxide, FUELS, litres } from '../../src/physics/fuel.ts';
import { plainCar } from '../fixtures.ts';
import { expectWithin } from '../within.ts';

/** US gallon [L], exact by definition. */
const GALLON = 3.785_411_784;

/** An affine engine whose friction mean effective pressure does not change with speed. */
function willans(
  fuel: Engine['fuel'],
  efficiency: number,
  pressure: number,
  volume: number,
): Engine {
  return {
    ...plainCar.engine,
    fuel,
    displacement: volume * LITRE,
    frictionPressure0: pressure * BAR,
    frictionPressure1: 0,
    fuelUse: { form: 'affine', efficiency },
  };
}

/** Fuel power of a warm engine [W]. */
function warmFuel(engine: Engine, speed: number, brake: number): number {
  const friction = frictionPower(engine, speed);
  return fuelPower(engine, speed, brake, friction, friction);
}

describe('the Willans line of a 1.6 L engine: e = 0.40, p_me0 = 1.6 bar, 2000 1/min, 60 N m', () => {
  // The form after Guzzella & Onder, Introduction to Modeling and Control of IC Engine Systems
  // (from memory); the figures computed here, to four places.
  const engine = willans(FUELS.petrol, 0.4, 1.6, 1.6);
  const speed = 2000 * RPM;
  const brake = 60 * speed;
  const fuel = warmFuel(engine, speed, brake);

  it('gives 12.566 kW, a mean effective pressure of 4.712 bar', () => {
    expectWithin(brake, 12_566, 5e-5);
    expectWithin(meanPressurePower(4.712 * BAR, 1.6 * LITRE, speed), brake, 1e-4);
  });

  it('burns 42.083 kW, a fuel mean effective pressure of 15.78 bar, at an efficiency of 0.2986', () => {
    expectWithin(fuel, 42_083, 5e-5);
    expectWithin(meanPressurePower(15.78 * BAR, 1.6 * LITRE, speed), fuel, 1e-4);
    expectWithin(brake / fuel, 0.2986, 1e-4);
  });

  it('burns 0.9879 g/s, or 283.0 g/kWh', () => {
    const flow = fuel / engine.fuel.heatingValue;
    expectWithin(flow, 0.9879 * GRAM, 1e-4);
    expectWithin((flow / brake) * KILOWATT_HOUR, 283 * GRAM, 1e-4);
  });
});

describe('idling', () => {
  const engine = willans(FUELS.petrol, 0.4, 1.6, 2);
  const idle = warmFuel(engine, 750 * RPM, 0);
  const litresPerHour = litres(engine.fuel, idle * HOUR);

  it('of a 2.0 L petrol engine by its Willans line takes 5.0 kW, 0.117 g/s, 0.567 L/h', () => {
    // p_me0 V n / 2 e, computed here
    expectWithin(idle, 5000, 1e-12);
    expectWithin(idle / engine.fuel.heatingValue, 0.117 * GRAM, 5e-3);
    expectWithin(litresPerHour, 0.567, 1e-3);
    expectWithin(litresPerHour / 2, 0.283, 3e-3);
  });

  it.each([
    { car: '2.0 L petrol compact', gallonsPerHour: 0.16, displacement: 2, perLitre: 0.303 },
    { car: '4.6 L petrol large sedan', gallonsPerHour: 0.39, displacement: 4.6, perLitre: 0.321 },
    { car: '2.0 L diesel compact', gallonsPerHour: 0.17, displacement: 2, perLitre: 0.322 },
  ])('is within 15 % of the flow per litre measured on a $car', (measured) => {
    // Flow: US DOE Fact of the Week 861 (2015), data of Argonne National Laboratory, read.
    // Per litre of displacement: computed here.
    const flow = (measured.gallonsPerHour * GALLON) / measured.displacement;
    expectWithin(flow, measured.perLitre, 2e-3);
    expectWithin(litresPerHour / 2, flow, 0.15);
  });
});

describe('the marginal rates of the EU', () => {
  // Extra fuel for extra shaft work and CO2 per litre: Commission Implementing Decision (EU)
  // 2020/728, tables 2 and 3, read. CO2 per kWh and marginal efficiency: computed here, the latter
  // with density and heating value from memory.
  const rates = [
    { engine: 'petrol', fuel: FUELS.petrol, litresPerKwh: 0.264, co2PerKwh: 615.1, slope: 0.43 },
    {
      engine: 'petrol turbo',
      fuel: FUELS.petrol,
      litresPerKwh: 0.28,
      co2PerKwh: 652.4,
      slope: 0.405,
    },
    { engine: 'diesel', fuel: FUELS.diesel, litresPerKwh: 0.22, co2PerKwh: 580.8, slope: 0.459 },
  ] as const;

  it.each(rates)('make $co2PerKwh g of CO2 for each kWh of a $engine engine', (rate) => {
    const energy = rate.litresPerKwh / litres(rate.fuel, 1);
    expectWithin(carbonDioxide(rate.fuel, energy), rate.co2PerKwh, 1e-4);
  });

  it.each(rates)('are those of a Willans line of slope $slope for a $engine engine', (rate) => {
    // To the three places that the slope is given with.
    const engine = willans(rate.fuel, rate.slope, 1.6, 2);
    const speed = 2000 * RPM;
    const extra = warmFuel(engine, speed, 21_000) - warmFuel(engine, speed, 20_000);
    expectWithin(litres(rate.fuel, (extra / 1000) * KILOWATT_HOUR), rate.litresPerKwh, 2e-3);
  });
});

describe('the fuels', () => {
  it('give as much CO2 by the litre as the EU reckons, no more than others do', () => {
    // EU 2020/728, table 3: 2330 and 2640 g/L, read.
    expect(FUELS.petrol.co2PerLitre).toBe(2330);
    expect(FUELS.diesel.co2PerLitre).toBe(2640);
    // EPA-420-F-11-041 (2011), read: 8887 and 10 180 g/gal = 2347.7 and 2689.3 g/L: 0.8 and 1.9 % more
    expectWithin(8887 / GALLON, 2347.7, 5e-5);
    expectWithin(10_180 / GALLON, 2689.3, 5e-5);
    expectWithin(FUELS.petrol.co2PerLitre, 8887 / GALLON, 0.01);
    expectWithin(FUELS.diesel.co2PerLitre, 10_180 / GALLON, 0.02);
  });

  it('have a density within their standards', () => {
    // EN 228: 0.720 to 0.775, EN 590: 0.820 to 0.845 kg/L, both from memory
    expect(FUELS.petrol.density).toBeGreaterThan(0.72);
    expect(FUELS.petrol.density).toBeLessThan(0.775);
    expect(FUELS.diesel.density).toBeGreaterThan(0.82);
    expect(FUELS.diesel.density).toBeLessThan(0.845);
  });

  it('hold about the energy that UN GTR 15 gives reference fuels', () => {
    // E5 8.78 kWh/L, B7 9.79 kWh/L, from memory; other blends differ by 1.6 % either way
    const perLitre = (fuel: Engine['fuel']) => (fuel.density * fuel.heatingValue) / KILOWATT_HOUR;
    expectWithin(perLitre(FUELS.petrol), 8.78, 0.016);
    expectWithin(perLitre(FUELS.diesel), 9.79, 0.016);
    // Lower heating value of E5 about 42.5, B7 about 42.7 MJ/kg, from memory
    expectWithin(FUELS.petrol.heatingValue, 42.5 * MEGA, 0.01);
    expectWithin(FUELS.diesel.heatingValue, 42.7 * MEGA, 0.01);
  });
});
