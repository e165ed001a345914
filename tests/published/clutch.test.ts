/**
 * Slipping clutches and the energy bound of a variator store. The theorems are elementary (clutch
 * chapters of machine design texts have them: Shigley, from memory); the figures are computed here.
 */
import { describe, expect, it } from 'vitest';
import { KILO } from '../../src/config/units.ts';
import { LIMIT } from '../../src/physics/limit.ts';
import { type RotorDrag, rotorEnergy, rotorSpeed } from '../../src/physics/rotor.ts';
import {
  carry,
  newEnvelope,
  newTransfer,
  type Store,
  storeEnvelope,
  type WheelCaps,
} from '../../src/physics/store.ts';
import { plainStore } from '../fixtures.ts';
import { between, seeded } from '../seeded.ts';
import { expectWithin } from '../within.ts';

const NO_DRAG: RotorDrag = { form: 'coefficients', c0: 0, c1: 0, c2: 0 };
const wide: WheelCaps = {
  recover: 1e9,
  recoverLimit: LIMIT.power,
  assist: 1e9,
  assistLimit: LIMIT.power,
};
const envelope = newEnvelope();
const transfer = newTransfer();

/** A clutch between a shaft of `ratio` times the axle's speed and a rotor without drag. */
function clutchOf(inertia: number, maxSpeed: number, ratio: number): Store {
  return {
    ...plainStore,
    rotor: { inertia, minSpeed: 0, maxSpeed, drag: NO_DRAG },
    transmission: { type: 'stepped', ratios: Float64Array.of(ratio) },
    losses: { form: 'efficiency', share: 0 },
    powerLimit: 1e9,
  };
}

describe('a source at 2000 rad/s that brings 0.06 kg m² from rest through a clutch', () => {
  const clutch = clutchOf(0.06, 2000, 100);
  const axle = 20;
  const histories: Record<string, (speed: number, random: () => number) => number> = {
    'of a steady torque': () => 5 * KILO,
    'of a growing torque': (speed) => KILO + 10 * speed,
    'of a torque that drops': (speed) => 30 * KILO - 14 * speed,
    'of a jerky hand': (_, random) => between(random, 100, 50 * KILO),
  };

  it.each(Object.keys(histories))(
    'loses 120.000 kJ and stores 120.000 kJ in the course %s',
    (name) => {
      const random = seeded(7);
      let speed = 0;
      let heat = 0;
      let given = 0;
      for (let i = 0; i < 100_000 && speed < 2000; i++) {
        storeEnvelope(clutch, speed, axle, 0.1, wide, -1e9, envelope);
        const power = Math.min(histories[name]!(speed, random), envelope.recover);
        carry(clutch, envelope, -power, speed, 0.1, transfer);
        heat += transfer.slipLoss;
        given += power * 0.1;
        speed = transfer.endSpeed;
      }
      // Exact but for rounding: each interval does torque times mean slip.
      expectWithin(rotorEnergy(clutch.rotor, speed), 120 * KILO, 1e-9);
      expectWithin(heat, 120 * KILO, 1e-9);
      expectWithin(given, 240 * KILO, 1e-9);
    },
  );
});

describe('two free rotors, 0.06 kg m² at 3000 rad/s and 0.5 kg m² at 100 rad/s', () => {
  const clutch = clutchOf(0.06, 5000, 1);
  const common = (0.06 * 3000 + 0.5 * 100) / 0.56;

  it.each([1, 10, 1000])(
    'meet at 410.714 rad/s with 225.268 kJ of heat in %i intervals',
    (count) => {
      const dt = 5 / count;
      const torque = (0.06 * (3000 - common)) / 5;
      let fast = 3000;
      let slow = 100;
      let heat = 0;
      for (let i = 0; i < count; i++) {
        const end = slow + (torque * dt) / 0.5;
        const axle = 0.5 * (slow + end);
        storeEnvelope(clutch, fast, axle, dt, wide, torque * axle, envelope);
        carry(clutch, envelope, torque * axle, fast, dt, transfer);
        heat += transfer.slipLoss;
        fast = transfer.endSpeed;
        slow = end;
      }
      expectWithin(fast, 410.714, 1e-6);
      expectWithin(slow, 410.714, 1e-6);
      expectWithin(heat, 225.268 * KILO, 2e-6);
      // of 272.5 kJ at the start
      const kept = 0.5 * 0.56 * common ** 2;
      expectWithin(heat + kept, 272.5 * KILO, 1e-12);
    },
  );
});

describe('a slipping clutch', () => {
  it('from 2000 to 1500 rad/s passes on three quarters of the power at that instant', () => {
    // w_out / w_in = 0.75; so short an interval that neither side moves
    const clutch = clutchOf(0.06, 2000, 100);
    storeEnvelope(clutch, 1500, 20, 1e-7, wide, -10 * KILO, envelope);
    carry(clutch, envelope, -10 * KILO, 1500, 1e-7, transfer);
    expectWithin(1 - transfer.slipLoss / (10 * KILO * 1e-7), 0.75, 1e-6);
  });
});

describe('a variator store of 90 % each way that loses 5 % of what it holds', () => {
  it('gives back 0.7695 of the braking energy', () => {
    // 0.9 · 0.95 · 0.9, computed here: the bound E_out ≤ η_in η_store η_out E_brake, with equality
    const variator: Store = {
      ...plainStore,
      rotor: { ...plainStore.rotor, drag: NO_DRAG },
      losses: { form: 'efficiency', share: 0.1 },
    };
    const axle = 50;
    const start = 3000;
    storeEnvelope(variator, start, axle, 2, wide, -50 * KILO, envelope);
    carry(variator, envelope, -50 * KILO, start, 2, transfer);
    const braked = 100 * KILO;
    expect(transfer.slipLoss).toBe(0);
    const empty = rotorEnergy(variator.rotor, start);
    const held = rotorEnergy(variator.rotor, transfer.endSpeed) - empty;
    const parked = rotorSpeed(variator.rotor, empty + 0.95 * held);
    // Draw it down to where it began: 2 s at the power that the bound allows.
    const power = (0.7695 * braked) / 2;
    storeEnvelope(variator, parked, axle, 2, wide, power, envelope);
    carry(variator, envelope, power, parked, 2, transfer);
    expect(transfer.slipLoss).toBe(0);
    expectWithin(transfer.endSpeed, start, 1e-12);
  });
});
