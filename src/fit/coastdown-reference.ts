import { celsiusToKelvin, KILO } from '../config/units.ts';
import type { Coastdown } from './coastdown.ts';
import type { Estimate } from './intervals.ts';

/** State of the air. */
export interface Weather {
  /** [K] */
  readonly temperature: number;
  /** [Pa] */
  readonly pressure: number;
}

/**
 * Reference states of a road load. GTR 15: 20 °C and 100 kPa (UN GTR 15, annex 4; from memory, not
 * verified). US: 20 °C and 98.21 kPa (40 CFR 1066.805(c), read).
 */
export const REFERENCES = {
  gtr15: { temperature: celsiusToKelvin(20), pressure: 100 * KILO },
  us: { temperature: celsiusToKelvin(20), pressure: 98.21 * KILO },
} as const satisfies Readonly<Record<string, Weather>>;

/** Name of a reference state. */
export type ReferenceName = keyof typeof REFERENCES;

/**
 * Fall of rolling resistance for each kelvin, as a share: 8.6e-3 (UN GTR 15, annex 4, and SAE J1263;
 * from memory, not verified).
 */
const ROLLING_PER_KELVIN = 8.6e-3;

/** Coefficients as they would be at a reference state. */
export interface Corrected {
  readonly force: Coastdown['force'];
  /** What F0 and F1 were multiplied by */
  readonly rollingFactor: number;
  /** What F2 was multiplied by */
  readonly airFactor: number;
}

/**
 * Corrects a coastdown to a reference state: rolling resistance for its temperature, air drag for the
 * density of dry air, as SAE J1263 and UN GTR 15, annex 4 do (from memory, not verified). Wind is
 * taken care of by the pairs, and a mass other than that of the test is not corrected for.
 *
 * @param force F0, F1, F2 as measured
 * @param weather of the test
 * @param reference
 */
export function toReference(
  force: Coastdown['force'],
  weather: Weather,
  reference: Weather,
): Corrected {
  const rollingFactor = 1 + ROLLING_PER_KELVIN * (weather.temperature - reference.temperature);
  const airFactor =
    (weather.temperature / reference.temperature) * (reference.pressure / weather.pressure);
  return {
    force: [
      times(force[0], rollingFactor),
      times(force[1], rollingFactor),
      times(force[2], airFactor),
    ],
    rollingFactor,
    airFactor,
  };
}

function times({ value, halfWidth }: Estimate, factor: number): Estimate {
  return { value: factor * value, halfWidth: factor * halfWidth };
}
