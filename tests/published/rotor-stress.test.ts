/**
 * Stress, energy density and spin-down of rotors.
 *
 * The formulas of ring, disc and bored disc are from memory, not verified: Timoshenko & Goodier, Theory
 * of Elasticity; Genta, Kinetic Energy Storage (shape factors). The numbers were computed from them
 * apart from this program. Spin-downs were computed here from elementary formulas.
 */
import { describe, expect, it } from 'vitest';
import { KILO, MEGA, RPM } from '../../src/config/units.ts';
import { type Rotor, type RotorDrag, rotorEnergy } from '../../src/physics/rotor.ts';
import { rotorStress, shapeFactor } from '../../src/physics/rotor-stress.ts';
import { spinDown } from '../../src/physics/spin-down.ts';
import { windage } from '../../src/physics/windage.ts';
import { expectWithin } from '../within.ts';

const STEEL = { density: 7850, poisson: 0.3 };
/** 0.15 m at 20 000 1/min. */
const RIM = 0.15 * 20_000 * RPM;

describe('rotating-disc elasticity (formulas from memory, not verified)', () => {
  it('a carbon ring of 1550 kg/m³ at 800 m/s: 992.0 MPa, 88.89 Wh/kg', () => {
    const { hoop } = rotorStress({ form: 'ring' }, { density: 1550, poisson: 0.3 }, 800);
    expectWithin(hoop, 992.0 * MEGA, 1e-6);
    expectWithin((shapeFactor({ form: 'ring' }, 0.3) * hoop) / 1550 / 3600, 88.89, 1e-4);
  });

  it('steel of 0.15 m at 20 000 1/min: disc 319.59 MPa, ring 774.76 MPa', () => {
    expectWithin(RIM, 314.16, 1e-5);
    expectWithin(rotorStress({ form: 'disc' }, STEEL, RIM).hoop, 319.59 * MEGA, 2e-5);
    expectWithin(rotorStress({ form: 'ring' }, STEEL, RIM).hoop, 774.76 * MEGA, 2e-5);
  });

  it('the same with a bore of 0.05 m: 654.25 MPa at the bore, 142.04 MPa across', () => {
    const { hoop, radial } = rotorStress({ form: 'bored', bore: 1 / 3 }, STEEL, RIM);
    expectWithin(hoop, 654.25 * MEGA, 2e-5);
    expectWithin(radial, 142.04 * MEGA, 5e-5);
  });

  it('shape factors: 0.5 ring, 0.606 disc, 0.303 disc with the smallest bore', () => {
    expect(shapeFactor({ form: 'ring' }, 0.3)).toBe(0.5);
    expectWithin(shapeFactor({ form: 'disc' }, 0.3), 0.606, 1e-3);
    expectWithin(shapeFactor({ form: 'bored', bore: 1e-4 }, 0.3), 0.303, 1e-3);
  });
});

describe('spin-down (computed here, elementary)', () => {
  const full = 40_000 * RPM;
  const rotor = (drag: RotorDrag): Rotor => ({
    inertia: 0.06,
    minSpeed: 0.05 * full,
    maxSpeed: full,
    drag,
  });

  it.each([
    [200, 1824.3],
    [500, 729.7],
    [1000, 364.9],
  ])('drag in proportion to speed, %s W at first: half of 526.379 kJ after %s s', (power, half) => {
    const c1 = power / (full * full);
    const linear = rotor({ form: 'coefficients', c0: 0, c1, c2: 0 });
    expectWithin(rotorEnergy(linear, full), 526.379 * KILO, 1e-6);
    expectWithin(spinDown(linear).halfLife!, half, 1e-3);
  });

  it('constant drag torque, 200 W at first: half after 1541.7 s, a twentieth of speed after 95 % of 5263.8 s', () => {
    const constant = rotor({ form: 'coefficients', c0: 200 / full, c1: 0, c2: 0 });
    expectWithin(spinDown(constant).halfLife!, 1541.7, 1e-3);
    expectWithin(spinDown(constant).toMinimum!, 0.95 * 5263.8, 1e-3);
  });

  it('free molecules: 16.678 W at 1 Pa, and a time constant of 17.53 h', () => {
    // 0.1 m radius, 0.06 m long, at a pressure where nothing but free molecules acts, scaled up.
    const chamber = { pressure: 1e-4, temperature: 293.15, gap: 0.005, accommodation: 1 };
    const { torque } = windage({ radius: 0.1, length: 0.06 }, chamber, full);
    expectWithin(torque * full * 1e4, 16.678, 2e-3);
    const c1 = (torque * 1e4) / full;
    expectWithin(0.06 / c1 / 3600, 17.53, 2e-3);
  });
});
