import { GRAM, GRAM_PER_KM, LITRE, LITRE_PER_100KM, PERCENT } from '../config/units.ts';
import { carbonDioxide, type Fuel, litres } from '../physics/fuel.ts';

/** Fuel energy [J] over a distance [m], in L/100 km. */
export function litresPer100Km(fuel: Fuel, energy: number, metres: number): number {
  return (litres(fuel, energy) * LITRE) / metres / LITRE_PER_100KM;
}

/** Fuel energy [J] over a distance [m], in g CO2/km. */
export function gramsPerKm(fuel: Fuel, energy: number, metres: number): number {
  return (carbonDioxide(fuel, energy) * GRAM) / metres / GRAM_PER_KM;
}

/** A share in %; null where there is nothing to take it of. */
export function percentOf(part: number, whole: number): number | null {
  return whole > 0 ? part / whole / PERCENT : null;
}
