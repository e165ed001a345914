import { describe, expect, it } from 'vitest';
import * as units from '../../src/config/units.ts';

/** The rounding of a few multiplications of doubles, relative. */
const ROUNDING = 4 * Number.EPSILON;

function expectEqual(actual: number, expected: number): void {
  expect(Math.abs(actual - expected)).toBeLessThanOrEqual(ROUNDING * Math.abs(expected));
}

describe('units', () => {
  // The right-hand sides follow from the definitions of the units: the international mile of
  // 1609.344 m, the bar of 100 kPa, 0 °C at 273.15 K.
  it.each([
    ['36 km/h', 36 * units.KMH, 10],
    ['1 mph', units.MPH, 0.44704],
    ['60 mph in km/h', (60 * units.MPH) / units.KMH, 96.56064],
    ['60 rpm', 60 * units.RPM, 2 * Math.PI],
    ['1.5 kW', 1.5 * units.KILO, 1500],
    ['0.4 MJ', 0.4 * units.MEGA, 400_000],
    ['12 mm', 12 * units.MILLI, 0.012],
    ['8 %', 8 * units.PERCENT, 0.08],
    ['2 min', 2 * units.MINUTE, 120],
    ['1.5 h', 1.5 * units.HOUR, 5400],
    ['11 km', 11 * units.KILOMETRE, 11_000],
    ['1.6 L', 1.6 * units.LITRE, 0.0016],
    ['1600 cm³', 1600 * units.CUBIC_CENTIMETRE, 0.0016],
    ['250 g', 250 * units.GRAM, 0.25],
    ['1.6 bar', 1.6 * units.BAR, 160_000],
    ['5 mbar', 5 * units.MILLIBAR, 500],
    ['180°', 180 * units.DEGREE, Math.PI],
    ['1 kWh', units.KILOWATT_HOUR, 3_600_000],
    ['5 L over 100 km', 5 * units.LITRE_PER_100KM * 100_000, 0.005],
    ['120 g/km over 1 km', 120 * units.GRAM_PER_KM * 1000, 0.12],
    ['250 g/kWh for 1 kWh', 250 * units.GRAM_PER_KWH * 3.6e6, 0.25],
  ])('%s is the SI value by definition', (_name, actual, expected) => {
    expectEqual(actual, expected);
  });

  it('has a factor for each unit that a speed column may name', () => {
    expect(units.SPEED_UNITS).toEqual({
      kmh: units.KMH,
      mph: units.MPH,
      m_per_s: 1,
      mps: 1,
    });
  });

  it('converts there and back to the same value', () => {
    for (const value of [0, 0.1, 13.7, 131.3, 6000]) {
      expectEqual(units.msToKmh(units.kmhToMs(value)), value);
      expectEqual(units.radPerSToRpm(units.rpmToRadPerS(value)), value);
      expectEqual(units.kelvinToCelsius(units.celsiusToKelvin(value)) + 300, value + 300);
    }
    expectEqual(units.kmhToMs(108), 30);
    expectEqual(units.celsiusToKelvin(20), 293.15);
  });
});
