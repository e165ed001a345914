import { describe, expect, it } from 'vitest';
import { GAS_CONSTANT_AIR } from '../../src/physics/air.ts';
import { type Rotor, rotorEnergy } from '../../src/physics/rotor.ts';
import {
  gyroscopicTorque,
  inertiaFactor,
  ROTOR_MATERIALS,
  rotorStress,
  type StressShape,
  shapeFactor,
  speedOfSound,
} from '../../src/physics/rotor-stress.ts';
import { spinDown } from '../../src/physics/spin-down.ts';
import { expectWithin } from '../within.ts';

const { steel } = ROTOR_MATERIALS;
const bored = (bore: number): StressShape => ({ form: 'bored', bore });

describe('the stress of a turning rotor', () => {
  it('in a ring is ρ v² along it and nothing across', () => {
    expect(rotorStress({ form: 'ring' }, { density: 2000, poisson: 0.3 }, 100)).toEqual({
      hoop: 2e7,
      radial: 0,
    });
  });

  it('in a disc with a bore tends to the ring as the wall gets thin', () => {
    const { hoop, radial } = rotorStress(bored(0.9999), steel, 300);
    expectWithin(hoop, rotorStress({ form: 'ring' }, steel, 300).hoop, 2e-4);
    expect(radial).toBeLessThan(1e-6 * hoop);
  });

  it('in a disc with the smallest bore is twice that of the disc without, along the bore alone', () => {
    const disc = rotorStress({ form: 'disc' }, steel, 300);
    const pierced = rotorStress(bored(1e-6), steel, 300);
    expectWithin(pierced.hoop, 2 * disc.hoop, 1e-9);
    expectWithin(pierced.radial, disc.radial, 1e-5);
  });

  it('goes with the square of the speed', () => {
    for (const shape of [{ form: 'ring' }, { form: 'disc' }, bored(0.4)] as const) {
      const slow = rotorStress(shape, steel, 200);
      expectWithin(rotorStress(shape, steel, 400).hoop, 4 * slow.hoop, 1e-12);
    }
  });

  it('solves the equilibrium d(r σ_r)/dr − σ_θ + ρ ω² r² = 0 with free edges', () => {
    // The known distributions, whose greatest values are what the function gives.
    const [density, poisson, outer, inner, omega] = [7850, 0.3, 0.15, 0.05, 2000];
    const c = ((3 + poisson) / 8) * density * omega * omega;
    const radial = (r: number) =>
      c * (inner ** 2 + outer ** 2 - (inner * outer) ** 2 / r ** 2 - r * r);
    const hoop = (r: number) =>
      c *
      (inner ** 2 +
        outer ** 2 +
        (inner * outer) ** 2 / r ** 2 -
        ((1 + 3 * poisson) / (3 + poisson)) * r * r);
    for (const r of [0.06, 0.09, 0.14]) {
      const h = 1e-6;
      const slope = ((r + h) * radial(r + h) - (r - h) * radial(r - h)) / (2 * h);
      expectWithin(slope - hoop(r), -density * omega * omega * r * r, 1e-6);
    }
    expect(Math.abs(radial(inner))).toBeLessThan(1e-6 * c * outer ** 2);
    const stress = rotorStress(bored(inner / outer), { density, poisson }, omega * outer);
    expectWithin(stress.hoop, hoop(inner), 1e-12);
    expectWithin(stress.radial, radial(Math.sqrt(inner * outer)), 1e-12);
  });
});

describe('the energy density of a rotor', () => {
  it('is K σ / ρ at its own stress, whatever the shape', () => {
    for (const shape of [{ form: 'ring' }, { form: 'disc' }, bored(0.3)] as const) {
      const v = 250;
      const { hoop } = rotorStress(shape, steel, v);
      const density = 0.5 * inertiaFactor(shape) * v * v;
      expectWithin((shapeFactor(shape, steel.poisson) * hoop) / steel.density, density, 1e-12);
    }
  });
});

describe('generic materials', () => {
  it('are of a size that materials have', () => {
    for (const { density, strength, poisson } of Object.values(ROTOR_MATERIALS)) {
      expect(density).toBeGreaterThan(1000);
      expect(density).toBeLessThan(9000);
      expect(strength).toBeGreaterThan(1e8);
      expect(strength).toBeLessThan(3e9);
      expect(poisson).toBeGreaterThan(0.2);
      expect(poisson).toBeLessThan(0.4);
    }
  });
});

describe('a rotor in motion', () => {
  it('turns its axis against J ω Ω', () => {
    expect(gyroscopicTorque(0.02, 6000, 0.5)).toBe(60);
  });

  it('meets sound at 343.2 m/s in air of 20 °C', () => {
    expectWithin(speedOfSound(GAS_CONSTANT_AIR, 293.15), 343.2, 1e-3);
  });
});

describe('the spin-down', () => {
  const rotor: Rotor = {
    inertia: 0.06,
    minSpeed: 1000,
    maxSpeed: 4000,
    drag: { form: 'coefficients', c0: 0.05, c1: 2e-5, c2: 1e-9 },
  };

  it('loses at each moment what its drag takes', () => {
    const { points } = spinDown(rotor);
    expect(points[0]).toMatchObject({ time: 0, speed: 4000 });
    expect(points.at(-1)!.speed).toBeLessThanOrEqual(1000);
    let lost = 0;
    for (const [i, point] of points.entries()) {
      const before = points[i - 1];
      if (before === undefined) continue;
      expect(point.time).toBeGreaterThan(before.time);
      lost += 0.5 * (before.dragPower + point.dragPower) * (point.time - before.time);
    }
    expectWithin(lost, rotorEnergy(rotor, 4000) - rotorEnergy(rotor, points.at(-1)!.speed), 1e-4);
  });

  it('never ends without drag, and says so', () => {
    const free: Rotor = { ...rotor, drag: { form: 'coefficients', c0: 0, c1: 0, c2: 0 } };
    const { halfLife, toMinimum, points } = spinDown(free);
    expect([halfLife, toMinimum, points.length]).toEqual([undefined, undefined, 1]);
  });
});
