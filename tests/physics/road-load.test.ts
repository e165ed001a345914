import { describe, expect, it } from 'vitest';
import {
  aerodynamicPower,
  gradeForce,
  meanSpeedCube,
  meanSpeedSquare,
  type RoadLoad,
  roadLoadForce,
  rollingForce,
  rollingPower,
} from '../../src/physics/road-load.ts';
import { between, seeded } from '../seeded.ts';
import { expectWithin, Worst } from '../within.ts';

/** Mean over 0 … 1 by the midpoint rule in many parts: the independent way. */
function meanOf(f: (share: number) => number, parts: number): number {
  let sum = 0;
  for (let i = 0; i < parts; i++) sum += f((i + 0.5) / parts);
  return sum / parts;
}

const still: RoadLoad = { rolling: 100, linear: 2, square: 0.4, wind: 0 };

describe('the means of a speed that is linear in time', () => {
  it('are those of the polynomials', () => {
    // from 1 to 3: (1 + 3 + 9) / 3; mean of v³ over 1 … 3 is (81 − 1) / 4 / 2
    expectWithin(meanSpeedSquare(1, 3), 13 / 3, 1e-15);
    expectWithin(meanSpeedCube(1, 3), 10, 1e-15);
    // from rest to 6: 36 / 3 and 216 / 4
    expectWithin(meanSpeedSquare(0, 6), 12, 1e-15);
    expectWithin(meanSpeedCube(0, 6), 54, 1e-15);
  });

  it('do not change when the interval is cut', () => {
    const random = seeded(61);
    const worst = new Worst();
    for (let i = 0; i < 1000; i++) {
      const v1 = between(random, 0, 50);
      const v2 = between(random, 0, 50);
      const share = random();
      const middle = v1 + share * (v2 - v1);
      for (const mean of [meanSpeedSquare, meanSpeedCube]) {
        const cut = share * mean(v1, middle) + (1 - share) * mean(middle, v2);
        worst.see(Math.abs(cut / mean(v1, v2) - 1), () => `${v1} to ${v2} m/s cut at ${middle}`);
      }
    }
    worst.expectAtMost(1e-14);
  });
});

describe('the road-load force', () => {
  it('is the sum of its three terms', () => {
    // 100 + 2 · 10 + 0.4 · 10²
    expect(roadLoadForce(still, 10)).toBe(160);
    expect(roadLoadForce(still, 0)).toBe(100);
  });

  it('sees the air, not the road, in its last term', () => {
    // 100 + 20 + 0.4 · 15²; 100 + 20 + 0.4 · 5²; a tail wind of 25 m/s pushes with 0.4 · 15²
    expect(roadLoadForce({ ...still, wind: 5 }, 10)).toBe(210);
    expect(roadLoadForce({ ...still, wind: -5 }, 10)).toBe(130);
    expect(roadLoadForce({ ...still, wind: -25 }, 10)).toBe(30);
  });

  it('of slope and tyres follow the road', () => {
    expect(gradeForce(1000, 0.05, 10)).toBe(500);
    expect(gradeForce(1000, -0.05, 10)).toBe(-500);
    expectWithin(rollingForce(1000, 0.01, 0.8, 10), 80, 1e-15);
  });
});

describe('the rolling power', () => {
  it('is the constant force along the level distance and the linear one along the speed', () => {
    // 100 · 4.9 + 2 · (0 + 0 + 100) / 3
    expectWithin(rollingPower(still, 0, 10, 4.9), 490 + 200 / 3, 1e-15);
  });

  it('is nothing at rest', () => {
    expect(rollingPower(still, 0, 0, 0)).toBe(0);
  });
});

describe('the aerodynamic power', () => {
  it('is force times speed at constant speed, in wind from either side', () => {
    // 0.4 · 10³; 0.4 · 15² · 10; 0.4 · 5² · 10; −0.4 · 15² · 10
    expectWithin(aerodynamicPower(still, 10, 10), 400, 1e-14);
    expectWithin(aerodynamicPower({ ...still, wind: 5 }, 10, 10), 900, 1e-14);
    expectWithin(aerodynamicPower({ ...still, wind: -5 }, 10, 10), 100, 1e-13);
    expectWithin(aerodynamicPower({ ...still, wind: -25 }, 10, 10), -900, 1e-14);
  });

  it('is nothing for a car at rest, whatever the wind', () => {
    for (const wind of [0, 12, -12]) {
      expect(Math.abs(aerodynamicPower({ ...still, wind }, 0, 0))).toBe(0);
    }
  });

  it('splits an interval in which a tail wind is overtaken', () => {
    // v from 0 to 20 s⁻¹·t, wind −10, square 1: mean of (v − 10)|v − 10| v over v in 0 … 20.
    // u = v − 10: (1/20) ∫ u|u| (u + 10) du over −10 … 10 = (1/20) · 2 ∫ u³ du over 0 … 10 = 250
    const load = { rolling: 0, linear: 0, square: 1, wind: -10 };
    expectWithin(aerodynamicPower(load, 0, 20), 250, 1e-14);
    expectWithin(aerodynamicPower(load, 20, 0), 250, 1e-14);
  });

  it('agrees with a fine quadrature in head wind, tail wind and the change between them', () => {
    const random = seeded(62);
    const worst = new Worst();
    let overtaken = 0;
    for (let i = 0; i < 600; i++) {
      const v1 = between(random, 0, 45);
      const v2 = between(random, 0, 45);
      const wind = between(random, -30, 30);
      if ((v1 + wind) * (v2 + wind) < 0) overtaken++;
      const load = { rolling: 0, linear: 0, square: 0.4, wind };
      const mean = meanOf((share) => {
        const v = v1 + share * (v2 - v1);
        return (roadLoadForce(load, v) - load.rolling) * v;
      }, 4000);
      // Scale without cancelling: the largest power in the interval.
      const scale = load.square * (Math.max(v1, v2) + Math.abs(wind)) ** 3;
      const error = Math.abs(aerodynamicPower(load, v1, v2) - mean) / scale;
      worst.see(error, () => `${v1} to ${v2} m/s in a wind of ${wind} m/s`);
    }
    expect(overtaken).toBeGreaterThan(50);
    // The midpoint rule in 4000 parts: about 1 / (24 · 4000²) of the scale times six.
    worst.expectAtMost(2e-8);
  });

  it('does not change when the interval is cut', () => {
    const random = seeded(63);
    const worst = new Worst();
    for (let i = 0; i < 2000; i++) {
      const v1 = between(random, 0, 45);
      const v2 = between(random, 0, 45);
      const load = { ...still, wind: between(random, -30, 30) };
      const share = random();
      const middle = v1 + share * (v2 - v1);
      const cut =
        share * aerodynamicPower(load, v1, middle) +
        (1 - share) * aerodynamicPower(load, middle, v2);
      const scale = load.square * (Math.max(v1, v2) + Math.abs(load.wind)) ** 3;
      worst.see(
        Math.abs(cut - aerodynamicPower(load, v1, v2)) / scale,
        () => `${v1} to ${v2} m/s cut at ${middle}, wind ${load.wind}`,
      );
    }
    worst.expectAtMost(1e-14);
  });
});
