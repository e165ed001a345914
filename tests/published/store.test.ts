/**
 * Figures that are common practice for stores of this kind, with no publication to name: a store of
 * about 60 kW that holds 540 kJ at 60 000 1/min with a rotor of 5 kg has its rim at about twice the
 * speed of sound; worked down to a third of its speed it gives eight ninths of its energy, so that
 * full power lasts more than 6 s after losses; 888 N m at the axle limit it by torque below about
 * 68 rad/s of the axle. All are checked here for consistency with one another.
 */
import { describe, expect, it } from 'vitest';
import { KILO, RPM } from '../../src/config/units.ts';
import { GAS_CONSTANT_AIR } from '../../src/physics/air.ts';
import { LIMIT } from '../../src/physics/limit.ts';
import { type Rotor, rotorEnergy } from '../../src/physics/rotor.ts';
import {
  carry,
  newEnvelope,
  newTransfer,
  type Store,
  storeEnvelope,
  usableEnergy,
  type WheelCaps,
  wheelCaps,
} from '../../src/physics/store.ts';
import { plainStore } from '../fixtures.ts';
import { expectWithin } from '../within.ts';

const TOP = 60_000 * RPM;
const MASS = 5;
const INERTIA = (2 * 540 * KILO) / TOP ** 2;

const rotor: Rotor = { ...plainStore.rotor, inertia: INERTIA, maxSpeed: TOP, minSpeed: TOP / 3 };
const store: Store = {
  ...plainStore,
  rotor,
  powerLimit: 60 * KILO,
  axleTorqueLimit: 888,
  adhesionLimit: 10,
  initialSpeed: TOP,
};

function capsAt(axleSpeed: number): WheelCaps {
  const caps: WheelCaps = { recover: 0, recoverLimit: 0, assist: 0, assistLimit: 0 };
  const axles = { frontShare: 0.58, heightRatio: 0.2 };
  wheelCaps(store, axles, 1700, 0.316, axleSpeed * 0.316, 0, 0, 100 * KILO, caps);
  return caps;
}

describe('a rotor of 540 kJ at 60 000 1/min and 5 kg', () => {
  // 20 °C; γ = 1.4
  const sound = Math.sqrt(1.4 * GAS_CONSTANT_AIR * 293.15);
  const gyration = Math.sqrt(INERTIA / MASS);

  it('has 0.02736 kg m² and a radius of gyration of 74 mm', () => {
    expectWithin(rotorEnergy(rotor, TOP), 540 * KILO, 1e-12);
    expectWithin(INERTIA, 0.027_36, 1e-3);
    expectWithin(gyration, 0.074, 1e-3);
  });

  it('has its rim at about twice the speed of sound as a uniform disc', () => {
    // A uniform disc has its radius of gyration at R / √2: 0.105 m, 657 m/s, Mach 1.91.
    expectWithin((TOP * gyration * Math.SQRT2) / sound, 2, 0.05);
    expectWithin(TOP * gyration * Math.SQRT2, 657, 1e-3);
  });

  it('would have it at 1.35 times as a thin ring: so the figure speaks of a disc', () => {
    // All mass at the rim: 465 m/s. Twice the speed of sound needs a radius of 109 mm, hence a
    // radius of gyration of 0.68 of it: a disc that is a little thinner towards its rim.
    expectWithin((TOP * gyration) / sound, 1.35, 0.01);
    expectWithin(gyration / ((2 * sound) / TOP), 0.677, 2e-3);
  });
});

describe('a store worked from full speed down to a third of it', () => {
  it('gives eight ninths of its energy: 480 kJ', () => {
    expectWithin(usableEnergy(store, TOP), 480 * KILO, 1e-12);
    expectWithin(usableEnergy(store, TOP) / rotorEnergy(rotor, TOP), 8 / 9, 1e-12);
  });

  it('lasts for more than 6 s at full power, after its losses', () => {
    // At 69 rad/s of the axle (78 km/h) neither torque nor ratio ends it early.
    const axle = 69;
    const dt = 0.1;
    const caps = capsAt(axle);
    const envelope = newEnvelope();
    const transfer = newTransfer();
    let speed = TOP;
    let seconds = 0;
    let lost = 0;
    for (let k = 0; k < 1000; k++) {
      storeEnvelope(store, speed, axle, dt, caps, 60 * KILO, envelope);
      if (envelope.assist < 60 * KILO) break;
      carry(store, envelope, 60 * KILO, speed, dt, transfer);
      lost += transfer.dragLoss + transfer.slipLoss + transfer.transmissionLoss;
      speed = transfer.endSpeed;
      seconds = (k + 1) * dt;
    }
    expect(envelope.assistLimit).toBe(LIMIT.empty);
    expect(seconds).toBeGreaterThan(6);
    // 8 s without any loss
    expect(seconds).toBeLessThan(8);
    expectWithin(
      seconds * 60 * KILO + lost,
      rotorEnergy(rotor, TOP) - rotorEnergy(rotor, speed),
      1e-9,
    );
    // What is left at the end is less than one more interval of full power takes.
    expect(usableEnergy(store, speed)).toBeLessThan(60 * KILO * dt * 1.25);
  });
});

describe('888 N m at the axle', () => {
  it('limit a store of 60 kW by torque below about 68 rad/s', () => {
    // 60 000 / 888 = 67.57
    expectWithin((60 * KILO) / 888, 68, 0.01);
    expect(capsAt(67.5).assistLimit).toBe(LIMIT.torque);
    expectWithin(capsAt(67.5).assist, 888 * 67.5, 1e-12);
    expect(capsAt(67.6).assistLimit).toBe(LIMIT.power);
    expect(capsAt(67.6).assist).toBe(60 * KILO);
  });
});
