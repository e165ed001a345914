import { describe, expect, it } from 'vitest';
import { InputError } from '../../src/config/problem.ts';
import { fitStore } from '../../src/simulate/car.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { type Run, run } from '../../src/simulate/run.ts';
import { initialState } from '../../src/simulate/state.ts';
import type { Step } from '../../src/simulate/step.ts';
import {
  newWant,
  type Outcome,
  type Strategy,
  type View,
  type Want,
} from '../../src/strategy/contract.ts';
import { between, seeded } from '../seeded.ts';
import { anyCar, anyStore, anythingAllowed, unevenDrive } from './drives.ts';

/** A wish within the envelope. */
function anyWish(random: () => number, see: Readonly<View>): Want {
  return {
    storePower: between(random, -see.recoverLimit, see.assistLimit),
    engineOn: random() < 0.5,
    clutched: random() < 0.5,
  };
}

/** A case of a seed, driven by whatever strategy; the seed's strategies all decide alike. */
function drive(
  seed: number,
  around: (inner: Strategy) => Strategy,
  watch?: (step: Readonly<Step>) => void,
): Run {
  const random = seeded(seed);
  const store = anyStore(random);
  const car = fitStore(anyCar(random), store);
  const demand = new Demand(car, store, unevenDrive(random));
  const strategy = around(anythingAllowed(seeded(seed + 1)));
  return run(car, store, demand, strategy, initialState(car, store), watch);
}

describe('asking what a wish would lead to', () => {
  it('gets exactly what the interval comes to when that is decided, in any order of questions', () => {
    let looked = 0;
    for (let seed = 1; seed <= 60; seed++) {
      const random = seeded(1000 + seed);
      let told: Outcome | undefined;
      const asking = (inner: Strategy): Strategy => ({
        name: 'asking',
        decide(see, want) {
          inner.decide(see, want);
          see.outcome(anyWish(random, see));
          told = { ...see.outcome(want) };
          see.outcome(anyWish(random, see));
        },
      });
      let starts = 0;
      let stored = 0;
      const done = drive(seed, asking, (step) => {
        const { fuel, debtChange, shortfall, engineOn, engineStarted, storeChange } = told!;
        expect(fuel).toBe(step.fuel * step.dt);
        expect(debtChange).toBe(step.debtChange * step.dt);
        expect(shortfall).toBe(step.shortfall * step.dt);
        expect(engineOn).toBe(step.engineOn);
        expect(engineStarted).toBe(step.engineStarted);
        if (engineStarted) starts++;
        stored += storeChange;
        looked++;
      });
      expect(starts).toBe(done.ledger.engineStarts);
      // A sum of thousands of joules over hundreds of intervals of a store of 600 kJ.
      expect(Math.abs(stored - done.ledger.storeChange)).toBeLessThan(1e-4);
    }
    expect(looked).toBeGreaterThan(3000);
  });

  it('moves nothing: a run with many questions is the run without any, to the last bit', () => {
    for (let seed = 100; seed < 130; seed++) {
      const random = seeded(seed);
      const curious = (inner: Strategy): Strategy => ({
        name: 'curious',
        decide(see, want) {
          const before = { ...see };
          for (let i = 0; i < 4; i++) see.outcome(anyWish(random, see));
          expect(see).toEqual(before);
          inner.decide(see, want);
          see.outcome(anyWish(random, see));
        },
      });
      const asked = drive(seed, curious);
      const plain = drive(seed, (inner) => inner);
      expect(asked.ledger).toEqual(plain.ledger);
      expect(asked.end).toEqual(plain.end);
    }
  });

  it('leaves the wish as it was', () => {
    drive(7, (inner) => ({
      name: 'careful',
      decide(see, want) {
        // Beyond the limit by rounding, which is taken off what is decided.
        const asked = { ...newWant(), storePower: see.assistLimit * (1 + 1e-12) };
        const before = { ...asked };
        see.outcome(asked);
        expect(asked).toEqual(before);
        inner.decide(see, want);
      },
    }));
  });

  it('ends a run that asks for what the store cannot do, as if it had been decided', () => {
    const greedy = (): Strategy => ({
      name: 'greedy',
      decide: (see) => {
        see.outcome({ ...newWant(), storePower: see.assistLimit + 1000 });
      },
    });
    expect(() => drive(3, greedy)).toThrow(InputError);
  });

  it('tells beforehand what a start takes', () => {
    let started = 0;
    drive(11, (inner) => ({
      name: 'restless',
      decide(see, want) {
        inner.decide(see, want);
        const { fuel, engineStarted } = see.outcome(want);
        if (!engineStarted) return;
        started++;
        expect(fuel).toBeGreaterThanOrEqual(see.startFuel);
      },
    }));
    expect(started).toBeGreaterThan(3);
  });
});
