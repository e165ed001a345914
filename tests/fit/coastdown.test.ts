import { describe, expect, it } from 'vitest';
import { KMH } from '../../src/config/units.ts';
import { fitCoastdown, forceAt } from '../../src/fit/coastdown.ts';
import { REFERENCES, toReference } from '../../src/fit/coastdown-reference.ts';
import { covers } from '../../src/fit/intervals.ts';
import { airDensity } from '../../src/physics/air.ts';
import { between, seeded } from '../seeded.ts';
import { expectWithin } from '../within.ts';
import { coastPair, FORCE, MASS, normal } from './coast-runs.ts';

const RANGE = { from: 130 * KMH, to: 15 * KMH };
const still = { ...RANGE, wind: 0, slope: 0, noise: () => 0, step: 1 };

describe('a coastdown without noise', () => {
  it('gives back the road load', () => {
    const { force } = fitCoastdown([coastPair(still)], MASS);
    // Runge and Kutta's error at 1 s is what is left.
    for (const [k, { value }] of force.entries()) expectWithin(value, FORCE[k]!, 1e-6);
  });

  it('gives it back whatever wind and slope there are, and names both', () => {
    const pair = coastPair({ ...still, wind: 3, slope: 0.004 });
    const { force, pairs } = fitCoastdown([pair], MASS);
    for (const [k, { value }] of force.entries()) expectWithin(value, FORCE[k]!, 1e-5);
    expectWithin(pairs[0]!.wind.value, 3, 1e-5);
    expectWithin(pairs[0]!.slope.value, 0.004, 1e-5);
  });

  it('scales with the mass', () => {
    const pair = coastPair(still);
    const half = { mass: MASS.mass / 2, rotatingMass: MASS.rotatingMass / 2 };
    const { force } = fitCoastdown([pair], half);
    for (const [k, { value }] of force.entries()) expectWithin(value, FORCE[k]! / 2, 1e-6);
  });
});

/**
 * How many of 100 seeded repeats have the truth within the interval of each coefficient. Of 100 true
 * 95 % intervals fewer than 88 cover with a probability of 0.15 % (binomial), so 88 is asked for; all
 * 100 would do so with 0.6 %.
 */
function coverage(pairs: number, gust: number): { hits: number[]; widths: number[] } {
  const hits = [0, 0, 0];
  const widths = [0, 0, 0];
  for (let seed = 0; seed < 100; seed++) {
    const random = seeded(1000 + seed);
    const measured = Array.from({ length: pairs }, () => {
      let drift = 0;
      const noise = () => {
        drift = 0.9 * drift + gust * normal(random);
        return 0.05 * normal(random) + drift;
      };
      return coastPair({
        ...RANGE,
        wind: 1.5 * normal(random),
        slope: between(random, -0.003, 0.003),
        noise,
        step: 4,
      });
    });
    const { force } = fitCoastdown(measured, MASS);
    for (const [k, interval] of force.entries()) {
      if (covers(interval, FORCE[k]!)) hits[k]!++;
      widths[k]! += interval.halfWidth / 100;
    }
  }
  return { hits, widths };
}

describe('the intervals of a coastdown', () => {
  it.each([
    ['one pair, noise of the sensor', 1, 0],
    ['three pairs, noise of the sensor', 3, 0],
    ['three pairs, gusts', 3, 0.05],
  ])('cover the truth in about 95 of 100 repeats: %s', (_, pairs, gust) => {
    const { hits, widths } = coverage(pairs, gust);
    for (const hit of hits) expect(hit, `covered ${hits}`).toBeGreaterThanOrEqual(88);
    const mean = hits.reduce((sum, hit) => sum + hit, 0) / hits.length;
    expect(mean, `covered ${hits}`).toBeLessThanOrEqual(99.5);
    // Intervals that cover because they say nothing would be no use.
    expect(widths[0]! / FORCE[0], 'F0').toBeLessThan(0.15);
    expect(widths[2]! / FORCE[2], 'F2').toBeLessThan(0.15);
  });

  it('are narrower for the force than for its coefficients', () => {
    const random = seeded(8);
    const noise = () => 0.05 * normal(random);
    const fit = fitCoastdown(
      [1, 2, 3].map(() => coastPair({ ...still, noise })),
      MASS,
    );
    const force = forceAt(fit, 80 * KMH);
    const truth = FORCE[0] + FORCE[1] * 80 * KMH + FORCE[2] * (80 * KMH) ** 2;
    expect(covers(force, truth)).toBe(true);
    expect(force.halfWidth).toBeLessThan(fit.force[0].halfWidth);
  });

  it('come from the scatter of the pairs where there are several', () => {
    const heavy = coastPair(still);
    // Pairs without noise that differ: one of them with a tenth more mass than is said.
    const light = {
      there: { ...heavy.there, time: Array.from(heavy.there.time, (t) => 1.1 * t) },
      back: { ...heavy.back, time: Array.from(heavy.back.time, (t) => 1.1 * t) },
    };
    const { basis, scatter, degrees, force } = fitCoastdown([heavy, light], MASS);
    expect(basis).toBe('pairs');
    expect(degrees).toBe(3);
    expect(scatter).toBeGreaterThan(1000);
    expect(force[0].halfWidth).toBeGreaterThan(0.04 * FORCE[0]);
  });
});

describe('the correction to a reference state', () => {
  const force = [
    { value: 100, halfWidth: 2 },
    { value: 1, halfWidth: 0.1 },
    { value: 0.4, halfWidth: 0.01 },
  ] as const;

  it('changes nothing at the reference state itself', () => {
    expect(toReference(force, REFERENCES.gtr15, REFERENCES.gtr15).force).toEqual(force);
  });

  it('lessens rolling resistance measured in the cold by 0.86 % a kelvin', () => {
    const weather = { temperature: 283.15, pressure: REFERENCES.gtr15.pressure };
    const { force: corrected, rollingFactor } = toReference(force, weather, REFERENCES.gtr15);
    expectWithin(rollingFactor, 0.914, 1e-12);
    expectWithin(corrected[0].value, 91.4, 1e-12);
    expectWithin(corrected[0].halfWidth, 2 * 0.914, 1e-12);
    expectWithin(corrected[1].value, 0.914, 1e-12);
  });

  it('makes air drag what it is in the density of the reference', () => {
    const weather = { temperature: 303.15, pressure: 95_000 };
    for (const reference of Object.values(REFERENCES)) {
      const { airFactor } = toReference(force, weather, reference);
      const densities =
        airDensity(reference.pressure, reference.temperature) / airDensity(95_000, 303.15);
      expectWithin(airFactor, densities, 1e-12);
    }
  });
});
