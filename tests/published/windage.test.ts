/**
 * Windage from continuum to free molecules, in air of 20 °C with 1.813e-5 Pa s, for a rotor of
 * 0.1 m radius and 0.06 m length in a gap of 5 mm. Status of each figure:
 * - read: the form stands in the source named, which was read.
 * - from memory: believed to stand in the source named; not looked up.
 * - computed here: worked out once outside the program from the formula named; tolerance 0.1 %.
 */
import { describe, expect, it } from 'vitest';
import { HOUR, RPM, ZERO_CELSIUS_K } from '../../src/config/units.ts';
import { airDensity, GAS_CONSTANT_AIR } from '../../src/physics/air.ts';
import {
  airViscosity,
  type Chamber,
  cylinderTorque,
  discTorque,
  freeMolecularShear,
  meanFreePath,
  type RotorShape,
  windage,
} from '../../src/physics/windage.ts';
import { expectWithin } from '../within.ts';

const TOLERANCE = 1e-3;
const ROOM = 20 + ZERO_CELSIUS_K;
const VISCOSITY = airViscosity(ROOM);
const RADIUS = 0.1;
const GAP = 5e-3;
const shape: RotorShape = { radius: RADIUS, length: 0.06 };
const FAST = 40_000 * RPM;

function chamber(pressure: number): Chamber {
  return { pressure, temperature: ROOM, gap: GAP, accommodation: 1 };
}

const reynoldsOf = (density: number, speed: number) => (density * speed * RADIUS ** 2) / VISCOSITY;

describe('a free disc, both faces', () => {
  // C_M = 3.87 Re^−½ and 0.146 Re^−0.2, transition about 3e5
  it.each([
    { pressure: 101_325, rpm: 3000, reynolds: 2.086e5, power: 1.582, moment: 0.008_47 },
    { pressure: 101_325, rpm: 20_000, reynolds: 1.391e6, power: 477, moment: 0.008_62 },
    { pressure: 1000, rpm: 40_000, reynolds: 2.746e4, power: 102, moment: 0.023_36 },
  ])('takes $power W at $pressure Pa and $rpm 1/min', (row) => {
    // computed here
    const density = airDensity(row.pressure, ROOM);
    const speed = row.rpm * RPM;
    const torque = discTorque(density, VISCOSITY, RADIUS, speed);
    expectWithin(reynoldsOf(density, speed), row.reynolds, TOLERANCE);
    expectWithin(torque * speed, row.power, TOLERANCE);
    expectWithin(torque / (0.5 * density * speed ** 2 * RADIUS ** 5), row.moment, TOLERANCE);
  });

  it('has the torque of the textbook problem in both regimes', () => {
    // T = 0.616 π ρ R⁴ √(μ ω³ / ρ) and 0.073 ρ ω² R⁵ (μ / (R² ω ρ))^0.2: read, as a problem on the
    // friction factor of a rotating disc; the book is believed to be Bird, Stewart & Lightfoot,
    // Transport Phenomena (from memory).
    const density = airDensity(101_325, ROOM);
    const slow = 2000 * RPM;
    const fast = 20_000 * RPM;
    expectWithin(
      discTorque(density, VISCOSITY, RADIUS, slow),
      0.616 * Math.PI * density * RADIUS ** 4 * Math.sqrt((VISCOSITY * slow ** 3) / density),
      TOLERANCE,
    );
    expectWithin(
      discTorque(density, VISCOSITY, RADIUS, fast),
      0.073 *
        density *
        fast ** 2 *
        RADIUS ** 5 *
        (VISCOSITY / (RADIUS ** 2 * fast * density)) ** 0.2,
      TOLERANCE,
    );
  });

  it('stays laminar beyond the crossing of both laws at Re = 5.553e4, up to the transition', () => {
    // The crossing is computed here. Taking the larger law would give 2.353 W for the first row.
    const moment = (reynolds: number) => 2 * discTorque(1, 1 / reynolds, 1, 1);
    const laminar = moment(1e5) * Math.sqrt(1e5);
    const turbulent = moment(1e6) * 1e6 ** 0.2;
    expectWithin((laminar / turbulent) ** (1 / 0.3), 5.553e4, TOLERANCE);
    expectWithin(moment(2.9e5), laminar / Math.sqrt(2.9e5), 1e-12);
    expectWithin(moment(3.1e5), turbulent / 3.1e5 ** 0.2, 1e-12);
  });
});

describe('a cylinder in a narrow gap', () => {
  it('at 40 000 1/min takes 6.1589e-3 N m and 25.798 W, whatever the pressure', () => {
    // 4 π μ L ω R² Ro² / (Ro² − R²), computed here; valid at 100 Pa, where the Taylor number is 30.7
    for (const pressure of [100, 50, 1]) {
      const torque = cylinderTorque(airDensity(pressure, ROOM), VISCOSITY, shape, GAP, FAST);
      expectWithin(torque, 6.1589e-3, TOLERANCE);
      expectWithin(torque * FAST, 25.798, TOLERANCE);
    }
  });

  it('takes more at 1000 Pa, where the Taylor number is 307 and vortices fill the gap', () => {
    // Critical 41.2, from memory; the Taylor numbers computed here
    const taylor = (pressure: number) =>
      ((airDensity(pressure, ROOM) * FAST * RADIUS * GAP) / VISCOSITY) * Math.sqrt(GAP / RADIUS);
    expectWithin(taylor(1000), 307, 2e-3);
    expectWithin(taylor(100), 30.7, 2e-3);
    const torque = cylinderTorque(airDensity(1000, ROOM), VISCOSITY, shape, GAP, FAST);
    expect(torque).toBeGreaterThan(1.2 * 6.1589e-3);
  });
});

describe('rarefied air', () => {
  it('has a mean free path of 65.05 nm in a room and 6.5915 mm at 1 Pa', () => {
    // λ = (μ / p) √(π R T / 2), the form read in the manual of a finite-element program; computed here
    expectWithin(meanFreePath(101_325, ROOM), 6.505e-8, TOLERANCE);
    expectWithin(meanFreePath(1, ROOM), 6.5915e-3, TOLERANCE);
  });

  it.each([
    { pressure: 100, knudsen: 0.0132, regime: 'slip' },
    { pressure: 10, knudsen: 0.132, regime: 'transition' },
    { pressure: 1, knudsen: 1.318, regime: 'transition' },
    { pressure: 0.1, knudsen: 13.18, regime: 'free molecular' },
  ])('at $pressure Pa has a Knudsen number of $knudsen: $regime', (row) => {
    // Numbers computed here, bands of Schaaf & Chambre from memory
    const { knudsen, regime } = windage(shape, chamber(row.pressure), FAST);
    expectWithin(knudsen, row.knudsen, 2e-3);
    expect(regime).toBe(row.regime);
  });

  it('shears with 1.37525e-3 s/m of its pressure: a quarter of ρ times the mean molecular speed', () => {
    // computed here; c_mean = √(8 R T / π) = 462.911 m/s
    const meanSpeed = Math.sqrt((8 * GAS_CONSTANT_AIR * ROOM) / Math.PI);
    expectWithin(meanSpeed, 462.911, 1e-5);
    expectWithin(freeMolecularShear(chamber(1)), 1.375_25e-3, 1e-5);
    expectWithin(freeMolecularShear(chamber(1)), (airDensity(1, ROOM) * meanSpeed) / 4, 1e-12);
  });

  it('of free molecules takes 16.678 W at 1 Pa and stops a rotor of 0.06 kg m² in 17.5 h and more', () => {
    // Cylinder 2.1717e-3 N m, two faces 1.8098e-3 N m; time constant 17.53 h; computed here
    const perSpeed = freeMolecularShear(chamber(1));
    const side = perSpeed * FAST * 2 * Math.PI * RADIUS ** 3 * shape.length;
    const faces = perSpeed * FAST * Math.PI * RADIUS ** 4;
    expectWithin(side, 2.1717e-3, 1e-4);
    expectWithin(faces, 1.8098e-3, 1e-4);
    expectWithin((side + faces) * FAST, 16.678, 1e-4);
    expectWithin(0.06 / ((side + faces) / FAST) / HOUR, 17.53, TOLERANCE);
  });

  it('comes near to 1.6678 W at 0.1 Pa, by what a Knudsen number of 13 leaves of the gap', () => {
    // 1.6678 W for free molecules computed here; the bridge leaves 1 / (1 + 1 / 2 Kn) = 96.3 %
    const { torque, knudsen } = windage(shape, chamber(0.1), FAST);
    expectWithin(torque * FAST, 1.6678 / (1 + 1 / (2 * knudsen)), 2e-3);
    expectWithin(windage(shape, chamber(1e-3), FAST).torque * FAST, 1.6678e-2, TOLERANCE);
  });

  it('is bridged to the slip law: 1.20195 Pa at 418.88 m/s, 5 mm and 10 Pa', () => {
    // τ = (μ U / h) / (1 + 2 Kn); Couette 1.51886 Pa, free molecules 5.76065 Pa; computed here.
    // A drum of 1 km radius has a plane gap, and one of 1e7 m length no faces to speak of.
    const drum: RotorShape = { radius: 1000, length: 1e7 };
    const speed = 418.88 / drum.radius;
    const { torque } = windage(drum, chamber(10), speed);
    const shear = torque / (2 * Math.PI * drum.radius ** 2 * drum.length);
    expectWithin(shear, 1.201_95, 1e-4);
    expectWithin(freeMolecularShear(chamber(10)) * 418.88, 5.760_65, 1e-4);
    expectWithin((VISCOSITY * 418.88) / GAP, 1.518_86, 1e-4);
  });
});

describe('the scaling of windage power', () => {
  const rising = (power: (x: number) => number, x: number) => Math.log2(power(2 * x) / power(x));

  it('is p^0.5 n^2.5 R^4 laminar and p^0.8 n^2.8 R^4.6 turbulent', () => {
    // the exponents follow from the two laws; computed here
    const power = (pressure: number, rpm: number, radius: number) => {
      const speed = rpm * RPM;
      return discTorque(airDensity(pressure, ROOM), VISCOSITY, radius, speed) * speed;
    };
    expectWithin(
      rising((p) => power(p, 20_000, 0.1), 2000),
      0.5,
      1e-9,
    );
    expectWithin(
      rising((n) => power(2000, n, 0.1), 10_000),
      2.5,
      1e-9,
    );
    expectWithin(
      rising((r) => power(2000, 20_000, r), 0.08),
      4,
      1e-9,
    );
    expectWithin(
      rising((p) => power(p, 20_000, 0.1), 101_325),
      0.8,
      1e-9,
    );
    expectWithin(
      rising((n) => power(101_325, n, 0.1), 20_000),
      2.8,
      1e-9,
    );
    expectWithin(
      rising((r) => power(101_325, 20_000, r), 0.1),
      4.6,
      1e-9,
    );
  });

  it('is p^0 n^2 in a calm gap and p n^2 of free molecules', () => {
    const calm = (pressure: number, speed: number) =>
      cylinderTorque(airDensity(pressure, ROOM), VISCOSITY, shape, GAP, speed) * speed;
    expect(rising((p) => calm(p, 4000), 20)).toBe(0);
    expectWithin(
      rising((n) => calm(20, n), 2000),
      2,
      1e-9,
    );
    const thin = (pressure: number, speed: number) =>
      windage(shape, chamber(pressure), speed).torque * speed;
    expectWithin(
      rising((p) => thin(p, 4000), 1e-4),
      1,
      TOLERANCE,
    );
    expectWithin(
      rising((n) => thin(1e-4, n), 2000),
      2,
      TOLERANCE,
    );
  });
});
