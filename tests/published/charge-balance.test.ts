/**
 * Charge balance against the test procedures of hybrids. Status of each figure:
 * - read: the figure stands in the source named, which was read.
 * - from memory: believed to stand in the source named; not looked up.
 * - computed here: an elementary formula, worked out once outside the program.
 */
import { linearRegression } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { HOUR, KILO, KILOWATT_HOUR, KMH } from '../../src/config/units.ts';
import { FUELS, type Fuel, litres } from '../../src/physics/fuel.ts';
import { rotorEnergy, rotorSpeed } from '../../src/physics/rotor.ts';
import type { Store } from '../../src/physics/store.ts';
import { BALANCE_LIMIT, leastSquaresSlope, runBalanced } from '../../src/simulate/balance.ts';
import { type Car, fitStore } from '../../src/simulate/car.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { run } from '../../src/simulate/run.ts';
import { initialState } from '../../src/simulate/state.ts';
import { totalFuel } from '../../src/simulate/total-fuel.ts';
import { type Behaviours, combine } from '../../src/strategy/combine.ts';
import type { Strategy } from '../../src/strategy/contract.ts';
import { cycleNamed, plainCar, plainStore } from '../fixtures.ts';
import { between, seeded } from '../seeded.ts';
import { expectWithin } from '../within.ts';

describe('what is left in the store, over the fuel', () => {
  it('is 0.00298 for 30 Wh after 23.27 km at 5.0 L/100 km of 8.64 kWh/L', () => {
    // Criterion c = |ΔE| / E_fuel of UN GTR 15, Annex 8 (from memory); figures computed here
    const fuel: Fuel = { ...FUELS.petrol, density: 1, heatingValue: 8.64 * KILOWATT_HOUR };
    const energy = (5 * 0.2327) / litres(fuel, 1);
    expectWithin(energy, 10.053 * KILOWATT_HOUR, 1e-4);
    expectWithin((30 * HOUR) / energy, 0.002_98, 2e-3);
  });

  it('is held to less than any procedure asks', () => {
    // No correction below 0.5, 1.0 or 1.5 % in UN GTR 15, Annex 8 (from memory); 1 % in SAE J1711
    // (2010; read in the abstract of SAE 2026-01-0422)
    expect(BALANCE_LIMIT).toBeLessThan(0.005);
  });

  it('is 1.72 % for 300 kJ after an NEDC at 5 L/100 km of petrol: more than the 1 % allowed', () => {
    // 5 L/100 km · 11.03 km · 31.7 MJ/L = 17.48 MJ; computed here, with 31.7 for 31.737 MJ/L
    const energy = (5 * 0.1103) / litres(FUELS.petrol, 1);
    expectWithin(energy, 17.48e6, 2e-3);
    expectWithin((300 * KILO) / energy, 0.0172, 4e-3);
    // with 1 / (0.43 · 0.85) = 2.74 J of fuel for each joule, the fuel changes by 4.7 %
    expectWithin((300 * KILO) / energy / (0.43 * 0.85), 0.047, 3e-3);
  });
});

describe('the slope of fuel over stored energy', () => {
  it('is that of an independent regression', () => {
    const random = seeded(9);
    for (let i = 0; i < 200; i++) {
      const count = 2 + Math.floor(20 * random());
      const scale = between(random, 1, 1e6);
      const x = Array.from({ length: count }, () => between(random, -1, 1) * scale);
      const y = x.map((value) => 2.5 * value + between(random, -1, 1) * scale + 1e7);
      const { m } = linearRegression(x.map((value, k) => [value, y[k]!]));
      // Sums of up to 21 numbers of 1e7: the slope keeps ten places of them.
      expect(Math.abs(leastSquaresSlope(x, y) - m)).toBeLessThan((1e-9 * 1e7) / scale + 1e-9);
    }
  });

  /**
   * A car and a store in which a joule has but one way to go: Willans line of e = 0.43 (petrol by the
   * EU's marginal rate), no gearbox losses, no slip, no drag, 85 % on the way in and on the way out.
   */
  const car: Car = {
    ...plainCar,
    gearbox: {
      ...plainCar.gearbox,
      efficiency: new Float64Array(6).fill(1),
      finalDriveEfficiency: 1,
    },
    engine: {
      ...plainCar.engine,
      fuel: FUELS.petrol,
      fuelUse: { form: 'affine', efficiency: 0.43 },
    },
  };
  const store: Store = {
    ...plainStore,
    rotor: { ...plainStore.rotor, drag: { form: 'coefficients', c0: 0, c1: 0, c2: 0 } },
    transmission: { type: 'ideal' },
    losses: { form: 'efficiency', share: 0.15 },
  };

  /** Fits fuel over stored energy through runs from five start energies. */
  function slopeOf(decide: Strategy['decide']): number {
    const fitted = fitStore(car, store);
    const demand = new Demand(fitted, store, cycleNamed('nedc'));
    const low = rotorEnergy(store.rotor, store.rotor.minSpeed);
    const high = rotorEnergy(store.rotor, store.rotor.maxSpeed);
    const runs = [0, 0.2, 0.4, 0.7, 1].map((share) => {
      const start = rotorSpeed(store.rotor, low + share * (high - low));
      const from = { ...initialState(fitted, store), rotorSpeed: start };
      return run(fitted, store, demand, { name: 'test', decide }, from);
    });
    const changes = runs.map((one) => one.ledger.storeChange);
    expect(Math.max(...changes) - Math.min(...changes)).toBeGreaterThan(400 * KILO);
    return leastSquaresSlope(
      changes,
      runs.map((one) => totalFuel(fitted, one)),
    );
  }

  it('is 1 / (0.43 · 0.85) = 2.74 where the engine charges the store: about 3, as J1711 has it', () => {
    // The factor: computed here. "About 3": abstract of SAE 2026-01-0422, read.
    const slope = slopeOf((see, want) => {
      if (see.wheelPower > 0 && see.speed > 8) want.storePower = -Math.min(see.recoverLimit, 3000);
    });
    expectWithin(slope, 1 / (0.43 * 0.85), 1e-9);
    expectWithin(slope, 3, 0.1);
  });

  it('is 0.85 / 0.43 = 1.98 where the store relieves the engine', () => {
    const slope = slopeOf((see, want) => {
      if (see.wheelPower > 0 && see.speed > 8) {
        want.storePower = Math.min(see.assistLimit, 0.5 * see.wheelPower);
      }
    });
    expectWithin(slope, 0.85 / 0.43, 1e-9);
  });
});

describe('the balanced fuel', () => {
  const assist = {
    launchBelow: 40 * KMH,
    accelerationAbove: 0.3,
    share: 1,
    floor: 0.05,
    coverShortfall: true,
  };
  const recover = { share: 1, minPower: 500 };
  const strategies: Record<string, Behaviours> = {
    'recovery and assist': { recover, assist },
    'engine-off coast': { coast: { floor: 0.05, maxSpeed: 140 * KMH }, recover, assist },
  };
  const cases = Object.keys(strategies).flatMap((strategy) =>
    ['nedc', 'udds', 'hwfet', 'wltc-class3b'].map((cycle) => ({ strategy, cycle })),
  );

  it.each(cases)(
    'of $strategy on $cycle is the same from 10 % more or less at the start',
    (one) => {
      // Common practice for a balance that deserves the name: within 0.2 %
      const fitted = fitStore(plainCar, plainStore);
      const demand = new Demand(fitted, plainStore, cycleNamed(one.cycle));
      const fuels = [0.9, 1, 1.1].map((factor) => {
        const energy = factor * 0.4 * rotorEnergy(plainStore.rotor, plainStore.rotor.maxSpeed);
        const store = { ...plainStore, initialSpeed: rotorSpeed(plainStore.rotor, energy) };
        const maker = () => combine(one.strategy, strategies[one.strategy]!);
        return runBalanced(fitted, store, demand, maker).fuel;
      });
      expectWithin(Math.max(...fuels), Math.min(...fuels), 2e-3);
    },
  );
});
