import { describe, expect, it } from 'vitest';
import { LIMITS } from '../../src/physics/limit.ts';
import type { Store } from '../../src/physics/store.ts';
import { expectWithin } from '../within.ts';
import { handStore, type Single, single } from './drives.ts';

/** Only rounding may part a result from the same sum done by hand. */
const EXACT = 1e-12;

/** Energy of the hand store's rotor at its usual 2000 rad/s: ½·0.02·2000² */
const STORED = 40_000;
const speedAt = (energy: number) => Math.sqrt((2 * energy) / 0.02);

describe('the store', () => {
  it('takes nine tenths of what it recovers', () => {
    const { step, state } = single({
      from: 9,
      to: 7,
      store: handStore,
      want: { storePower: -6000 },
    });
    expectWithin(step.storeTransmissionLoss, 600, EXACT);
    expect(step.storeSlipLoss).toBe(0);
    expectWithin(state.rotorSpeed, speedAt(STORED + 5400), EXACT);
    expect(step.rotorSpeed).toBe(state.rotorSpeed);
  });

  it('gives nine tenths of what it spends', () => {
    const { step, state } = single({
      from: 8,
      to: 8,
      store: handStore,
      want: { storePower: 900 },
    });
    expect(step.store).toBe(900);
    expect(step.engineWheel).toBe(700);
    expectWithin(step.storeTransmissionLoss, 100, EXACT);
    expectWithin(state.rotorSpeed, speedAt(STORED - 1000), EXACT);
    expectWithin(step.fuel, (700 / 0.855 + 320 + 500 + 5760) / 0.4, EXACT);
  });

  it('charged while driving costs the affine engine 1/e of the shaft work, no more', () => {
    const plain = single({ from: 8, to: 8, store: handStore });
    const charging = single({ from: 8, to: 8, store: handStore, want: { storePower: -3000 } });
    expect(charging.step.engineWheel).toBe(4600);
    expect(charging.step.store).toBe(-3000);
    expectWithin(charging.step.engineBrake - plain.step.engineBrake, 3000 / 0.855, 1e-11);
    expectWithin(charging.step.fuel - plain.step.fuel, 3000 / 0.855 / 0.4, 1e-11);
    expectWithin(charging.state.rotorSpeed, speedAt(STORED + 2700), EXACT);
  });

  it('can be charged while driving only with what the engine has to spare', () => {
    const store = { ...handStore, powerLimit: 1e6 };
    const { view } = single({ from: 8, to: 8, store });
    const spare = (32_000 - 500 - 320) * 0.855 - 1600;
    expectWithin(view.recoverLimit, spare, EXACT);
    // A shortfall leaves nothing to spare.
    expect(single({ from: 6, to: 10, store }).view.recoverLimit).toBe(0);
  });

  it('names the limit that held back its charging by the engine', () => {
    const { step } = single({ from: 8, to: 8, store: handStore, want: { storePower: -6000 } });
    expect(step.store).toBe(-6000);
    expect(LIMITS[step.limit]).toBe('power');
  });

  it('names no limit where none bit', () => {
    const limit = (given: Single) => LIMITS[single({ store: handStore, ...given }).step.limit];
    expect(limit({ from: 8, to: 8, want: { storePower: 800 } })).toBe('');
    expect(limit({ from: 8, to: 8, want: { storePower: -3000 } })).toBe('');
    // A full or an empty store limits nobody who does not ask.
    const { minSpeed, maxSpeed } = handStore.rotor;
    for (const initialSpeed of [minSpeed, maxSpeed]) {
      expect(limit({ from: 8, to: 8, store: { ...handStore, initialSpeed } })).toBe('');
    }
    // All the braking recovered, none lost to the engine
    const store = { ...handStore, powerLimit: 50_000 };
    const want = { storePower: -16_000, clutched: false };
    expect(limit({ from: 9, to: 7, store, want })).toBe('');
  });

  it('carries the car when it gives the demand but for rounding, and not with less', () => {
    const driving = {
      from: 8,
      to: 8,
      store: handStore,
      state: { engineOn: false, engineSpeed: 0 },
    };
    const given = (share: number) =>
      single({ ...driving, want: { engineOn: false, storePower: 1600 * share } }).step;
    expect(given(1 - 5e-10)).toMatchObject({ engineOn: false, store: 1600, engineWheel: 0 });
    expect(given(1 - 2e-9).engineOn).toBe(true);
  });

  it('is left alone by an engine whose charge the spin loss would eat', () => {
    const store: Store = {
      ...handStore,
      losses: { form: 'model', share: 0.1, shareGrowth: 0, bestRatio: 60, spinTorque: 12 },
    };
    // 12 N m · 32 rad/s = 384 W of spin loss against 0.9 · 400 W.
    const { step, state } = single({ from: 8, to: 8, store, want: { storePower: -400 } });
    expect(step.store).toBe(0);
    expect(step.engineWheel).toBe(1600);
    expect(LIMITS[step.limit]).toBe('spin_loss');
    expect(state.rotorSpeed).toBe(2000);
  });

  it('pays its spin loss once it assists', () => {
    const store: Store = {
      ...handStore,
      losses: { form: 'model', share: 0.1, shareGrowth: 0, bestRatio: 60, spinTorque: 12 },
    };
    const { step, state } = single({ from: 8, to: 8, store, want: { storePower: 1600 } });
    expectWithin(step.storeTransmissionLoss, (1600 + 384) / 0.9 - 1600, EXACT);
    expectWithin(state.rotorSpeed, speedAt(STORED - (1600 + 384) / 0.9), EXACT);
  });

  it('shows its energy above the bottom of its range, and its share of the range', () => {
    const { view } = single({ from: 8, to: 8, store: handStore });
    expectWithin(view.storeEnergy, 30_000, EXACT);
    expectWithin(view.storeShare, 30 / 80, EXACT);
    const below = single({ from: 8, to: 8, store: { ...handStore, initialSpeed: 500 } }).view;
    expectWithin(below.storeEnergy, -7500, EXACT);
    expect(below.assistLimit).toBe(0);
  });

  it('gives no more than the car asks for, and ends at the bottom of its range at most', () => {
    // 1100 rad/s hold 12 100 J: 2100 J above the bottom, 1890 J at the wheel.
    const store = { ...handStore, initialSpeed: 1100 };
    expectWithin(single({ from: 8, to: 8, store }).view.assistLimit, 1600, EXACT);
    const hard = single({ from: 7.5, to: 8.5, store });
    expectWithin(hard.view.assistLimit, 1890, EXACT);
    const { step, state } = single({
      from: 7.5,
      to: 8.5,
      store,
      want: { storePower: hard.view.assistLimit },
    });
    expect(LIMITS[step.limit]).toBe('empty');
    expectWithin(state.rotorSpeed, 1000, EXACT);
  });

  it('can do nothing at rest and is only dragged', () => {
    const { rotor } = handStore;
    const store: Store = {
      ...handStore,
      rotor: { ...rotor, drag: { form: 'coefficients', c0: 0.02, c1: 0, c2: 0 } },
    };
    const { view, step, state } = single({ from: 0, to: 0, dt: 5, store });
    expect(view.assistLimit).toBe(0);
    expect(view.recoverLimit).toBe(0);
    // 0.02 N m slow 0.02 kg m² by 1 rad/s each second.
    expectWithin(state.rotorSpeed, 1995, EXACT);
    expectWithin(step.storeDragLoss, 0.02 * 1997.5, EXACT);
    expect(step.limit).toBe(0);
  });

  it('is spun up from rest through its slipping clutch', () => {
    const store: Store = {
      ...handStore,
      initialSpeed: 0,
      transmission: { type: 'variator', low: 10, high: 100 },
    };
    // The axle turns at 32 rad/s, so the clutch's shaft at 320. 6000 W at the wheel are 5400 W at
    // the clutch and 16.875 N m, which bring the rotor to 843.75 rad/s in a second; but the rotor
    // may average the shaft's 320 rad/s at most, and the store slips until then.
    const { step, state, view } = single({
      from: 9,
      to: 7,
      dt: 0.25,
      store,
      want: { storePower: -6000, clutched: false },
    });
    expectWithin(view.recoverLimit, 6000, EXACT);
    expectWithin(state.rotorSpeed, (16.875 * 0.25) / 0.02, EXACT);
    const mean = state.rotorSpeed / 2;
    expectWithin(step.storeSlipLoss, 16.875 * (320 - mean), EXACT);
    // From rest a quarter of a second of 5400 W ends as ½·0.02·ω² and slip.
    expectWithin(0.01 * state.rotorSpeed ** 2 + step.storeSlipLoss * 0.25, 1350, EXACT);
  });
});
