/**
 * Air against outside sources. Status of each figure:
 * - read: the figure stands in the source named, which was read.
 * - from memory: believed to stand in the source named; not looked up.
 * - computed here: an elementary formula, worked out once outside the program.
 */
import { describe, expect, it } from 'vitest';
import { ZERO_CELSIUS_K } from '../../src/config/units.ts';
import { airDensity, standardAtmosphere } from '../../src/physics/air.ts';
import { expectWithin } from '../within.ts';

/** Figures are given to five places. */
const FIVE_PLACES = 1e-4;

describe('the standard atmosphere (formula of ISO 2533 / ICAO Doc 7488, from memory)', () => {
  it('has 1.2250 kg/m³ at sea level and 15 °C', () => {
    const { pressure, temperature } = standardAtmosphere(0);
    // computed here
    expectWithin(airDensity(pressure, temperature), 1.225, FIVE_PLACES);
  });

  it('has 89 874.6 Pa, 281.65 K and 1.1116 kg/m³ at 1000 m', () => {
    const { pressure, temperature } = standardAtmosphere(1000);
    // computed here
    expectWithin(pressure, 89_874.6, FIVE_PLACES);
    expectWithin(temperature, 281.65, FIVE_PLACES);
    expectWithin(airDensity(pressure, temperature), 1.1116, FIVE_PLACES);
  });
});

describe('the reference air of test procedures', () => {
  const room = 20 + ZERO_CELSIUS_K;

  it('of the US road load is 1.17 kg/m³: 98.21 kPa and 20 °C', () => {
    // State: 40 CFR 1066.805(c), read. Density 1.17 kg/m³: 40 CFR 1066.310, read.
    const density = airDensity(98_210, room);
    expect(density.toFixed(2)).toBe('1.17');
    // computed here, to more places
    expectWithin(density, 1.1671, FIVE_PLACES);
  });

  it('of the EU coastdown is 1.1884 kg/m³: 100 kPa and 20 °C', () => {
    // State from memory (UN GTR 15); density computed here.
    expectWithin(airDensity(100_000, room), 1.1884, FIVE_PLACES);
  });

  it('of a room at 1013.25 hPa is 1.2041 kg/m³', () => {
    // computed here
    expectWithin(airDensity(101_325, room), 1.2041, FIVE_PLACES);
  });
});
