import { describe, expect, it } from 'vitest';
import { carbonDioxide, FUELS, litres } from '../../src/physics/fuel.ts';
import { expectWithin } from '../within.ts';

const fuel = { name: 'test oil', density: 0.8, heatingValue: 40e6, co2PerLitre: 2500 };

describe('a fuel', () => {
  it('holds density times heating value in a litre', () => {
    // 0.8 kg/L · 40 MJ/kg = 32 MJ/L
    expect(litres(fuel, 32e6)).toBe(1);
    expect(litres(fuel, 8e6)).toBe(0.25);
  });

  it('gives its carbon dioxide by the litre', () => {
    expect(carbonDioxide(fuel, 16e6)).toBe(1250);
  });

  it('is 35.65 MJ/L as diesel and 31.74 MJ/L as petrol', () => {
    // 0.835 · 42.7 and 0.745 · 42.6
    expectWithin(1 / litres(FUELS.diesel, 1), 35.6545e6, 1e-12);
    expectWithin(1 / litres(FUELS.petrol, 1), 31.737e6, 1e-12);
  });
});
