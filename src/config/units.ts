/**
 * The one table of units. Inside the program every quantity is SI; a reader multiplies by the
 * factor of the unit that the file names, a writer divides by it.
 *
 *     speed [m/s] = speed [km/h] × KMH          speed [km/h] = speed [m/s] / KMH
 *
 * All factors are exact by definition of the unit, up to the rounding of a double.
 */

// Prefixes and counts
/** 1 per 1/1000: kW to W, kJ to J, kPa to Pa, km to m. */
export const KILO = 1e3;
/** 1 per million: MJ to J, MW to W. */
export const MEGA = 1e6;
/** Metre per millimetre, and any other thousandth. */
export const MILLI = 1e-3;
/** 1 per %. */
export const PERCENT = 0.01;

// Time
/** s per min. */
export const MINUTE = 60;
/** s per h. */
export const HOUR = 3600;

// Length, area, volume, mass
/** m per km. */
export const KILOMETRE = 1000;
/** m per international mile. */
export const MILE = 1609.344;
/** m per international foot. */
export const FOOT = 0.3048;
/** m per nautical mile. */
export const NAUTICAL_MILE = 1852;
/** m³ per litre. */
export const LITRE = 1e-3;
/** m³ per cm³. */
export const CUBIC_CENTIMETRE = 1e-6;
/** kg per g. */
export const GRAM = 1e-3;

// Speed
/** m/s per km/h. */
export const KMH = 1 / 3.6;
/** m/s per mile per hour. */
export const MPH = MILE / HOUR;
/** m/s per knot. */
export const KNOT = NAUTICAL_MILE / HOUR;
/** rad/s per revolution per minute. */
export const RPM = (2 * Math.PI) / MINUTE;
/** rad per degree of angle. */
export const DEGREE = Math.PI / 180;

// Pressure, temperature, energy
/** Pa per bar. */
export const BAR = 1e5;
/** Pa per mbar (the same as hPa). */
export const MILLIBAR = 100;
/** Kelvin at 0 °C: an offset, not a factor. */
export const ZERO_CELSIUS_K = 273.15;
/** J per kWh. */
export const KILOWATT_HOUR = KILO * HOUR;

// Fuel
/** m³/m per L/100 km. */
export const LITRE_PER_100KM = LITRE / (100 * KILOMETRE);
/** kg/m per g/km. */
export const GRAM_PER_KM = GRAM / KILOMETRE;
/** kg/J per g/kWh. */
export const GRAM_PER_KWH = GRAM / KILOWATT_HOUR;

/** m/s per unit of a speed column, by the ending of its header: `speed_kmh`, `speed_mph` … */
export const SPEED_UNITS = {
  kmh: KMH,
  mph: MPH,
  m_per_s: 1,
  mps: 1,
} as const;

/** Speed [km/h] to [m/s]. */
export function kmhToMs(speedKmh: number): number {
  return speedKmh * KMH;
}

/** Speed [m/s] to [km/h]. */
export function msToKmh(speed: number): number {
  return speed / KMH;
}

/** Speed of rotation [1/min] to [rad/s]. */
export function rpmToRadPerS(speedRpm: number): number {
  return speedRpm * RPM;
}

/** Speed of rotation [rad/s] to [1/min]. */
export function radPerSToRpm(speed: number): number {
  return speed / RPM;
}

/** Temperature [°C] to [K]. */
export function celsiusToKelvin(temperatureC: number): number {
  return temperatureC + ZERO_CELSIUS_K;
}

/** Temperature [K] to [°C]. */
export function kelvinToCelsius(temperature: number): number {
  return temperature - ZERO_CELSIUS_K;
}
