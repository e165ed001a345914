/** What a fuel is, as far as energy and carbon go. */
export interface Fuel {
  readonly name: string;
  /** [kg/L] */
  readonly density: number;
  /** Lower heating value [J/kg] */
  readonly heatingValue: number;
  /** CO2 of burning one litre [g/L] */
  readonly co2PerLitre: number;
}

/**
 * The two fuels known by name. Density and heating value: middle of EN 590 / EN 228 with usual
 * lower heating values (from memory). CO2: Commission Implementing Decision (EU) 2020/728,
 * table 3 (read): 2640 g/L diesel, 2330 g/L petrol. Other sources run to 2392 g/L for petrol;
 * a car file may state its own fuel.
 */
export const FUELS: { readonly diesel: Fuel; readonly petrol: Fuel } = {
  diesel: { name: 'diesel', density: 0.835, heatingValue: 42.7e6, co2PerLitre: 2640 },
  petrol: { name: 'petrol', density: 0.745, heatingValue: 42.6e6, co2PerLitre: 2330 },
};

/**
 * Volume of fuel that holds an energy.
 * @param fuel which
 * @param energy [J]
 * @returns [L]
 */
export function litres(fuel: Fuel, energy: number): number {
  return energy / (fuel.heatingValue * fuel.density);
}

/**
 * CO2 of burning fuel of an energy.
 * @param fuel which
 * @param energy [J]
 * @returns [g]
 */
export function carbonDioxide(fuel: Fuel, energy: number): number {
  return litres(fuel, energy) * fuel.co2PerLitre;
}
