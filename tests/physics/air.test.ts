import { describe, expect, it } from 'vitest';
import { airDensity, GRAVITY, standardAtmosphere } from '../../src/physics/air.ts';
import { expectWithin } from '../within.ts';

describe('the density of air', () => {
  it('is pressure over gas constant and temperature', () => {
    // 100 000 / (287.05287 · 300) = 100 000 / 86 115.861
    expectWithin(airDensity(100_000, 300), 1.161226, 1e-6);
  });

  it('doubles with pressure and halves with temperature', () => {
    const density = airDensity(90_000, 280);
    expectWithin(airDensity(180_000, 280), 2 * density, 1e-15);
    expectWithin(airDensity(90_000, 560), 0.5 * density, 1e-15);
  });
});

describe('the standard atmosphere', () => {
  it('starts at 15 °C and 1013.25 hPa', () => {
    expect(standardAtmosphere(0)).toEqual({ pressure: 101_325, temperature: 288.15 });
  });

  it('has 268.65 K and 701.1 hPa at 3000 m', () => {
    const { pressure, temperature } = standardAtmosphere(3000);
    // 288.15 − 3 · 6.5
    expectWithin(temperature, 268.65, 1e-12);
    // ln(268.65 / 288.15) = −0.0700718; · 5.2559 = −0.3682902; exp = 0.691916; · 101 325
    expectWithin(pressure, 70_108, 1e-5);
  });

  it('hangs on its own weight: the pressure falls by ρ g for each metre', () => {
    const step = 0.5;
    for (const altitude of [0, 500, 2500, 8000]) {
      const slope =
        (standardAtmosphere(altitude + step).pressure -
          standardAtmosphere(altitude - step).pressure) /
        (2 * step);
      const { pressure, temperature } = standardAtmosphere(altitude);
      // The exponent is rounded to five figures: 4e-6 in the slope.
      expectWithin(slope, -airDensity(pressure, temperature) * GRAVITY, 1e-5);
    }
  });
});
