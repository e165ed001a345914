import { describe, expect, it } from 'vitest';
import { RPM } from '../../src/config/units.ts';
import { airDensity } from '../../src/physics/air.ts';
import {
  airViscosity,
  type Chamber,
  cylinderTorque,
  discTorque,
  faceTorque,
  freeMolecularShear,
  meanFreePath,
  type RotorShape,
  windage,
} from '../../src/physics/windage.ts';
import { expectWithin } from '../within.ts';

const ROOM = 293.15;
const shape: RotorShape = { radius: 0.1, length: 0.06 };
const chamber = (pressure: number): Chamber => ({
  pressure,
  temperature: ROOM,
  gap: 5e-3,
  accommodation: 1,
});

/** Exponent n of y ~ xⁿ between x and 2 x. */
function exponent(y: (x: number) => number, x: number): number {
  return Math.log2(y(2 * x) / y(x));
}

describe('the viscosity of air', () => {
  it('is 18.13 µPa s at 20 °C and grows somewhat faster than the root of temperature', () => {
    expect(airViscosity(ROOM)).toBe(1.813e-5);
    // 1.813e-5 · (373.15 / 293.15)^1.5 · 403.55 / 483.55 = 1.813e-5 · 1.436119 · 0.834557
    expectWithin(airViscosity(373.15), 2.172922e-5, 1e-6);
  });
});

describe('the mean free path', () => {
  it('grows as the air gets thinner, and is 66 nm in a room', () => {
    // 1.813e-5 / 1e5 · √(π · 287.05287 · 293.15 / 2) = 1.813e-10 · √132 182.2
    expectWithin(meanFreePath(1e5, ROOM), 6.59147e-8, 1e-5);
    expectWithin(meanFreePath(10, ROOM), 1e4 * meanFreePath(1e5, ROOM), 1e-14);
  });
});

describe('the shear of free molecules', () => {
  it('is pressure over the thermal speed, and falls with poor accommodation', () => {
    // 1 / √(2π · 287.05287 · 293.15) = 1 / 727.14
    expectWithin(freeMolecularShear(chamber(1)), 1 / 727.14, 1e-5);
    // σ / (2 − σ) = 0.8 / 1.2
    expectWithin(
      freeMolecularShear({ ...chamber(1), accommodation: 0.8 }),
      (2 / 3) * freeMolecularShear(chamber(1)),
      1e-14,
    );
  });
});

describe('a disc in continuum', () => {
  it('is laminar below a Reynolds number of 3e5 and turbulent above, with a step between', () => {
    // ρ = 1, μ = 1e-5, R = 1: Re = 1e5 ω
    // Re 1e5: 3.87 / √1e5 = 0.0122380; · ½
    expectWithin(discTorque(1, 1e-5, 1, 1), 0.5 * 3.87 * 1e5 ** -0.5, 1e-14);
    // Re 1e6: 0.146 / 1e6^0.2 = 0.00921194; · ½ · 100
    expectWithin(discTorque(1, 1e-5, 1, 10), 0.460597, 1e-5);
    const below = discTorque(1, 1e-5, 1, 2.999_999);
    const above = discTorque(1, 1e-5, 1, 3.000_001);
    expect(above / below).toBeGreaterThan(1.6);
  });

  it('scales as the two laws say', () => {
    const power = (pressure: number, speed: number, radius: number) =>
      discTorque(airDensity(pressure, ROOM), airViscosity(ROOM), radius, speed) * speed;
    // Re 2e4 and 1.4e6, so that no doubling crosses the transition
    const laminar = [2000, 1000, 0.1] as const;
    const turbulent = [101_325, 2000, 0.1] as const;
    expectWithin(
      exponent((p) => power(p, laminar[1], laminar[2]), laminar[0]),
      0.5,
      1e-12,
    );
    expectWithin(
      exponent((n) => power(laminar[0], n, laminar[2]), laminar[1]),
      2.5,
      1e-12,
    );
    expectWithin(
      exponent((r) => power(laminar[0], laminar[1], r), laminar[2]),
      4,
      1e-12,
    );
    expectWithin(
      exponent((p) => power(p, turbulent[1], turbulent[2]), turbulent[0]),
      0.8,
      1e-12,
    );
    expectWithin(
      exponent((n) => power(turbulent[0], n, turbulent[2]), turbulent[1]),
      2.8,
      1e-12,
    );
    expectWithin(
      exponent((r) => power(turbulent[0], turbulent[1], r), turbulent[2]),
      4.6,
      1e-12,
    );
  });
});

describe('the faces of a disc in a housing, in continuum', () => {
  it('shear the air of the gap, where a boundary layer would be thicker than the gap', () => {
    // π · 2e-5 · 1000 · 0.1⁴ / 0.005 = 1.256637e-3; the free disc at ρ = 1e-4: Re = 50,
    // 3.87 / √50 = 0.547301; · ½ · 1e-4 · 1e6 · 1e-5 = 2.7365e-4
    expectWithin(faceTorque(1e-4, 2e-5, 0.1, 5e-3, 1000), 1.256637e-3, 1e-6);
    expect(faceTorque(1e-5, 2e-5, 0.1, 5e-3, 1000)).toBe(faceTorque(1e-4, 2e-5, 0.1, 5e-3, 1000));
  });

  it('are those of the free disc in dense air, and pass over without a step', () => {
    expect(faceTorque(1, 2e-5, 0.1, 5e-3, 1000)).toBe(discTorque(1, 2e-5, 0.1, 1000));
    // 2 π R / (s Re) = 3.87 / √Re at Re = (2 π · 20 / 3.87)² = 1054.3; ρ = Re μ / (ω R²)
    const density = (((2 * Math.PI * 20) / 3.87) ** 2 * 2e-5) / 10;
    expectWithin(
      faceTorque(1.000_001 * density, 2e-5, 0.1, 5e-3, 1000),
      faceTorque(0.999_999 * density, 2e-5, 0.1, 5e-3, 1000),
      2e-6,
    );
  });
});

describe('a cylinder in a gap, in continuum', () => {
  const torque = (pressure: number, speed: number) =>
    cylinderTorque(airDensity(pressure, ROOM), airViscosity(ROOM), shape, 5e-3, speed);

  it('shears the air of a calm gap, whatever its pressure', () => {
    // 4π · 1.813e-5 · 0.06 · 1000 · 0.1² · 0.105² / (0.105² − 0.1²)
    // = 0.0136697 · 1.1025e-4 / 1.025e-3
    expectWithin(torque(50, 1000), 1.470326e-3, 1e-6);
    expect(torque(25, 1000)).toBe(torque(50, 1000));
    expectWithin(torque(50, 2000), 2 * torque(50, 1000), 1e-14);
  });

  it('has vortices above a Taylor number of 41.2, and never takes less than the calm gap', () => {
    // Ta = ρ ω R s / μ · √(s / R): 41.2 at ρ = 41.2 · μ / (ω R s √0.05)
    const density = (taylor: number) =>
      (taylor * airViscosity(ROOM)) / (1000 * 0.1 * 5e-3 * Math.sqrt(0.05));
    const at = (taylor: number) =>
      cylinderTorque(density(taylor), airViscosity(ROOM), shape, 5e-3, 1000);
    const calm = at(1);
    expect(at(41)).toBe(calm);
    let last = calm;
    for (let taylor = 42; taylor < 1e5; taylor *= 1.1) {
      expect(at(taylor)).toBeGreaterThanOrEqual(calm);
      // Where two correlations meet (Re 64, 500, 1e4) the later one may start up to 4 % lower.
      expect(at(taylor)).toBeGreaterThan(0.95 * last);
      last = at(taylor);
    }
    expect(last).toBeGreaterThan(20 * calm);
  });

  it('follows the correlation of each range of Reynolds numbers', () => {
    // ρ = 1, ω = 1, R = 1, L = 1, s = 0.5: T = ½ π C_M, C_M = k 0.5^0.3 Re^−m, Re = 0.5 / μ
    const moment = (reynolds: number) =>
      cylinderTorque(1, 0.5 / reynolds, { radius: 1, length: 1 }, 0.5, 1) / (0.5 * Math.PI);
    const factor = 0.5 ** 0.3;
    // 2 / 300^0.6 = 0.0652800; 1.03 / √4000 = 0.0162857; 0.065 / 1e6^0.2 = 0.00410122
    expectWithin(moment(300), 0.06528 * factor, 1e-4);
    expectWithin(moment(4000), 0.0162857 * factor, 1e-5);
    expectWithin(moment(1e6), 0.00410122 * factor, 1e-5);
  });

  it('of a large gap at a small Reynolds number has vortices that take 10 / Re', () => {
    // s = R: Ta = Re, so that vortices start at 41.2 < Re < 64; 10 / 60 = 0.1667, but the calm
    // gap takes 4π μ · 4 / 3 with μ = 1 / 60, in units of ½ π: 0.1778
    const moment = cylinderTorque(1, 1 / 60, { radius: 1, length: 1 }, 1, 1) / (0.5 * Math.PI);
    expectWithin(moment, ((4 * Math.PI) / 60) * (4 / 3) * (2 / Math.PI), 1e-12);
  });
});

describe('windage', () => {
  it('names the regime by mean free path over gap', () => {
    // λ · p = 6.5915e-3 m Pa: Kn = 1.3183 / p on a gap of 5 mm
    const regimes = [1000, 132, 131, 14, 13, 0.14, 0.13].map(
      (pressure) => windage(shape, chamber(pressure), 1000).regime,
    );
    expect(regimes).toEqual([
      'continuum',
      'continuum',
      'slip',
      'slip',
      'transition',
      'transition',
      'free molecular',
    ]);
  });

  it('is nothing at rest', () => {
    expect(windage(shape, chamber(1000), 0).torque).toBe(0);
  });

  it('tends to the continuum at high pressure and to free molecules at low', () => {
    const speed = 20_000 * RPM;
    const continuum =
      discTorque(airDensity(101_325, ROOM), airViscosity(ROOM), shape.radius, speed) +
      cylinderTorque(airDensity(101_325, ROOM), airViscosity(ROOM), shape, 5e-3, speed);
    // At one atmosphere free molecules would take 500 times as much: 0.2 % of the harmonic sum.
    expectWithin(windage(shape, chamber(101_325), speed).torque, continuum, 3e-3);
    const molecular =
      freeMolecularShear(chamber(1e-3)) *
      speed *
      (Math.PI * shape.radius ** 4 + 2 * Math.PI * shape.radius ** 3 * shape.length);
    expectWithin(windage(shape, chamber(1e-3), speed).torque, molecular, 1e-3);
  });

  it('grows with pressure and with speed through every regime but the correlations’ joints', () => {
    const torqueAt = (pressure: number, speed: number) =>
      windage(shape, chamber(pressure), speed).torque;
    for (const speed of [500, 2000, 6000]) {
      for (let pressure = 1e-3; pressure < 2e5; pressure *= 1.2) {
        expect(torqueAt(1.2 * pressure, speed)).toBeGreaterThan(0.98 * torqueAt(pressure, speed));
        expect(torqueAt(pressure, 1.2 * speed)).toBeGreaterThan(torqueAt(pressure, speed));
      }
    }
  });

  it('is the slip law of a plane gap where the gap is narrow', () => {
    // (μ U / h) / (1 + 2 Kn (2 − σ) / σ) on the area 2 π R L, at the arm R; gap / radius 1e-5
    const narrow: Chamber = {
      pressure: 2000,
      temperature: ROOM,
      gap: 1e-5,
      accommodation: 0.9,
    };
    const drum: RotorShape = { radius: 1, length: 10_000 };
    const { torque, knudsen } = windage(drum, narrow, 10);
    const slip =
      ((airViscosity(ROOM) * 10) / narrow.gap / (1 + (2 * knudsen * 1.1) / 0.9)) *
      2 *
      Math.PI *
      drum.length;
    // The end faces take R / 2 L of it, 5e-5; the curvature of the gap is 1e-5.
    expectWithin(torque, slip, 1e-4);
  });
});
