/**
 * Air: density and the standard atmosphere.
 * Source of the constants: ISO 2533 / ICAO Doc 7488 (from memory, not re-read).
 */

/** Standard gravity [m/s²]. ISO 80000-3 (from memory). */
export const GRAVITY = 9.80665;

/** Specific gas constant of dry air [J/(kg K)]. */
export const GAS_CONSTANT_AIR = 287.05287;

const SEA_LEVEL_TEMPERATURE = 288.15; // [K]
const SEA_LEVEL_PRESSURE = 101_325; // [Pa]
const LAPSE_RATE = 6.5e-3; // [K/m]
const PRESSURE_EXPONENT = 5.2559; // g / (R · lapse rate)

/**
 * Density of dry air as an ideal gas: ρ = p / (R T).
 * @param pressure [Pa]
 * @param temperature [K]
 * @returns density [kg/m³]; 98.21 kPa and 20 °C give 1.167
 */
export function airDensity(pressure: number, temperature: number): number {
  return pressure / (GAS_CONSTANT_AIR * temperature);
}

/**
 * Pressure and temperature of the standard atmosphere below the tropopause (0 to 11 km).
 * @param altitude above sea level [m]
 * @returns pressure [Pa] and temperature [K]; 1000 m gives 89 875 Pa and 281.65 K
 */
export function standardAtmosphere(altitude: number): { pressure: number; temperature: number } {
  const temperature = SEA_LEVEL_TEMPERATURE - LAPSE_RATE * altitude;
  const pressure = SEA_LEVEL_PRESSURE * (temperature / SEA_LEVEL_TEMPERATURE) ** PRESSURE_EXPONENT;
  return { pressure, temperature };
}
