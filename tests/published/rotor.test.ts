/**
 * Energy and spin-down of a rotor of 0.060 kg m² at 40 000 1/min. All figures are computed here from
 * closed forms; the spin-down is also compared with an independent solver. A log of 1 s must show a
 * spin-down within 0.1 %.
 */
import { describe, expect, it } from 'vitest';
import { HOUR, KILO, RPM } from '../../src/config/units.ts';
import { UniformCurve } from '../../src/physics/curve.ts';
import {
  dragTorque,
  type Rotor,
  type RotorDrag,
  rotorEnergy,
  turnByTorque,
} from '../../src/physics/rotor.ts';
import { usableEnergy } from '../../src/physics/store.ts';
import { windage } from '../../src/physics/windage.ts';
import { plainStore } from '../fixtures.ts';
import { expectWithin } from '../within.ts';
import { solveOde } from './ode.ts';

const TOLERANCE = 1e-3;
const TOP = 40_000 * RPM;

function rotorWith(drag: RotorDrag): Rotor {
  return { inertia: 0.06, minSpeed: 0.5 * TOP, maxSpeed: TOP, drag };
}

const freely = rotorWith({ form: 'coefficients', c0: 0, c1: 0, c2: 0 });
const full = rotorEnergy(freely, TOP);

/** Speed after a whole number of seconds, in steps of one second. */
function spunDown(rotor: Rotor, seconds: number): number {
  const motion = { endSpeed: TOP, meanSpeed: 0, dragLoss: 0 };
  for (let t = 0; t < seconds; t++) turnByTorque(rotor, motion.endSpeed, 0, 1, motion);
  return motion.endSpeed;
}

/** When half of the energy is left [s]: steps of one second, the last one cut. */
function halfTime(rotor: Rotor): number {
  const motion = { endSpeed: TOP, meanSpeed: 0, dragLoss: 0 };
  for (let t = 0; t < 1e5; t++) {
    const before = rotorEnergy(rotor, motion.endSpeed);
    turnByTorque(rotor, motion.endSpeed, 0, 1, motion);
    const after = rotorEnergy(rotor, motion.endSpeed);
    if (after <= 0.5 * full) return t + (before - 0.5 * full) / (before - after);
  }
  throw new Error('half of the energy is left after 100 000 s');
}

describe('the energy of the rotor', () => {
  it('is 526.379 kJ, or 146.2 Wh', () => {
    expectWithin(TOP, 4188.79, 1e-6);
    expectWithin(full, 526.379 * KILO, 1e-6);
    expectWithin(full / HOUR, 146.2, 2e-4);
  });

  it('is used to three quarters, 394.784 kJ, down to half the speed', () => {
    const store = { ...plainStore, rotor: freely };
    expectWithin(usableEnergy(store, TOP), 394.784 * KILO, 1e-6);
    expectWithin(usableEnergy(store, TOP) / full, 0.75, 1e-14);
  });
});

describe('a drag torque proportional to speed', () => {
  // P = P0 (ω/ω0)², so E = E0 exp(−P0 t / E0)
  const proportional = (power: number) =>
    rotorWith({ form: 'coefficients', c0: 0, c1: power / TOP ** 2, c2: 0 });

  it.each([
    { power: 200, half: 1824.3 },
    { power: 500, half: 729.7 },
    { power: 1000, half: 364.9 },
  ])('of $power W at full speed leaves half the energy after $half s', ({ power, half }) => {
    expectWithin(halfTime(proportional(power)), half, TOLERANCE);
    expectWithin((full / power) * Math.LN2, half, 2e-4);
  });

  it('follows the exponential all the way', () => {
    for (const seconds of [10, 100, 1000, 5000]) {
      const energy = rotorEnergy(freely, spunDown(proportional(200), seconds));
      expectWithin(energy, full * Math.exp((-200 * seconds) / full), TOLERANCE);
    }
  });
});

describe('a constant drag torque', () => {
  const constant = rotorWith({ form: 'coefficients', c0: 200 / TOP, c1: 0, c2: 0 });

  it('of 200 W at full speed leaves half the energy after 1541.7 s', () => {
    expectWithin(halfTime(constant), 1541.7, TOLERANCE);
  });

  it('stops the rotor after 5263.8 s and leaves it at rest', () => {
    expect(spunDown(constant, 5263)).toBeGreaterThan(0);
    expect(spunDown(constant, 5265)).toBe(0);
    expectWithin((2 * full) / 200, 5263.8, 1e-5);
  });
});

describe('a constant drag power', () => {
  it('of 200 W takes a half of the energy in half of 2631.9 s', () => {
    // A torque of P / ω, tabulated down to a tenth of the speed; linear between 4000 points.
    const torque = new UniformCurve(TOP, 4001, (speed) => 200 / Math.max(speed, 0.1 * TOP));
    expectWithin(halfTime(rotorWith({ form: 'curve', torque })), 0.5 * 2631.9, TOLERANCE);
  });
});

describe('a spin-down in steps of one second against an independent solver', () => {
  it.each<{ of: string; drag: RotorDrag }>([
    {
      of: 'bearings and turbulent air',
      drag: { form: 'coefficients', c0: 0.02, c1: 1e-5, c2: 5e-9 },
    },
    { of: 'strong drag', drag: { form: 'coefficients', c0: 0.05, c1: 1e-4, c2: 5e-8 } },
    {
      of: 'windage at 100 Pa',
      drag: {
        form: 'curve',
        torque: new UniformCurve(
          TOP,
          1001,
          (speed) =>
            0.01 +
            windage(
              { radius: 0.1, length: 0.06 },
              { pressure: 100, temperature: 293.15, gap: 5e-3, accommodation: 1 },
              speed,
            ).torque,
        ),
      },
    },
  ])('agrees for $of', ({ drag }) => {
    const rotor = rotorWith(drag);
    for (const seconds of [60, 300, 900]) {
      const slowing = (_: number, [speed]: readonly number[]) => [
        -dragTorque(rotor, speed!) / rotor.inertia,
      ];
      const [exact] = solveOde(slowing, 0, [TOP], seconds);
      expectWithin(spunDown(rotor, seconds), exact!, TOLERANCE);
    }
    expect(spunDown(rotor, 60)).toBeLessThan(TOP);
  });
});
