import { describe, expect, it } from 'vitest';
import { correlations, coverageFactor, covers, estimate } from '../../src/fit/intervals.ts';
import { leastSquares, NoFit } from '../../src/fit/least-squares.ts';
import { seeded } from '../seeded.ts';
import { expectWithin } from '../within.ts';
import { normal } from './coast-runs.ts';

const line = (x: readonly number[]) => (p: readonly number[]) => x.map((at) => p[0]! + p[1]! * at);

describe('least squares', () => {
  // y = 1, 3, 4, 4 over x = 0 … 3: slope Σxy'/Σxx' = 5/5 = 1, intercept 3 − 1.5 = 1.5. Residuals
  // −0.5, 0.5, 0.5, −0.5, so s² = 1/2; variance of the slope 0.5/5 = 0.1, of the intercept
  // 0.5 (1/4 + 2.25/5) = 0.35, covariance −0.5 · 1.5/5 = −0.15.
  const fit = leastSquares({
    observed: [1, 3, 4, 4],
    model: line([0, 1, 2, 3]),
    start: [0, 0],
    scale: [1, 1],
  });

  it('finds a line worked out by hand', () => {
    expectWithin(fit.parameters[0]!, 1.5, 1e-9);
    expectWithin(fit.parameters[1]!, 1, 1e-9);
    expect(fit.degrees).toBe(2);
    expectWithin(fit.deviation ** 2, 0.5, 1e-9);
  });

  it('gives the covariance of that line', () => {
    expectWithin(fit.covariance[0]![0]!, 0.35, 1e-8);
    expectWithin(fit.covariance[1]![1]!, 0.1, 1e-8);
    expectWithin(fit.covariance[0]![1]!, -0.15, 1e-8);
    expectWithin(correlations(fit.covariance)[0]![1]!, -0.15 / Math.sqrt(0.035), 1e-8);
  });

  it('comes to the same end from any start and with any scale', () => {
    for (const scale of [1e-4, 1, 1e5]) {
      const observed = [1, 3, 4, 4].map((y) => y * scale);
      const model = (p: readonly number[]) => line([0, 1, 2, 3])(p);
      const other = leastSquares({
        observed: observed.map((y) => y / scale),
        model,
        start: [50, -20],
        scale: [10, 0.5],
      });
      expectWithin(other.parameters[0]!, 1.5, 1e-7);
      expectWithin(other.parameters[1]!, 1, 1e-7);
    }
  });

  it('refuses what the data cannot tell apart', () => {
    const twice = (p: readonly number[]) => [0, 1, 2, 3].map((x) => (p[0]! + p[1]!) * x + 1);
    const task = { observed: [1, 3, 4, 4], model: twice, start: [0, 0], scale: [1, 1] };
    expect(() => leastSquares(task)).toThrow(NoFit);
    expect(() => leastSquares({ ...task, observed: [1, 3] })).toThrow(NoFit);
    const unseen = (p: readonly number[]) => [0, 1, 2, 3].map((x) => p[0]! * x);
    expect(() => leastSquares({ ...task, model: unseen })).toThrow(NoFit);
  });

  it('widens the covariance where residuals hang together, and not where they are white', () => {
    const random = seeded(5);
    const count = 4000;
    let drift = 0;
    // First-order process with correlation 0.8: the factor is 1.8 / 0.2 = 9.
    const hanging = Array.from({ length: count }, () => {
      drift = 0.8 * drift + 0.6 * normal(random);
      return drift;
    });
    const white = hanging.map(() => normal(random));
    const model = (p: readonly number[]) => white.map(() => p[0]!);
    const task = { model, start: [0], scale: [1] };
    // The lag correlation of 4000 values is known to about 0.01, the factor so to 10 %.
    expectWithin(leastSquares({ ...task, observed: hanging }).inflation, 9, 0.15);
    expect(leastSquares({ ...task, observed: white }).inflation).toBe(1);
  });

  it('does not take a cliff beside the minimum for a steep slope', () => {
    const random = seeded(9);
    const x = Array.from({ length: 200 }, (_, k) => k / 200);
    const observed = x.map((at) => 2 * at + 0.1 * normal(random));
    const straight = (p: readonly number[]) => x.map((at) => p[0]! * at);
    const task = { observed, model: straight, start: [1.9], scale: [1], step: 2e-3 };
    const plain = leastSquares(task);
    // An event that comes to pass a little above the best value, and shifts all that follows by 1.
    const edge = plain.parameters[0]! + 1e-3;
    const cliff = (p: readonly number[]) =>
      straight(p).map((value, k) => (p[0]! > edge && k > 100 ? value + 1 : value));
    const seen = leastSquares({ ...task, model: cliff, hasCliffs: true });
    expectWithin(seen.parameters[0]!, plain.parameters[0]!, 1e-6);
    expectWithin(seen.covariance[0]![0]!, plain.covariance[0]![0]!, 1e-6);
    // Without the care it would be taken for certain to a hundredth of that.
    const fooled = { ...task, model: cliff, start: [plain.parameters[0]!] };
    expect(leastSquares(fooled).covariance[0]![0]!).toBeLessThan(1e-3 * seen.covariance[0]![0]!);
  });

  it('does not look across the breaks between stretches', () => {
    // Alternating signs within pairs, the same sign across them.
    const observed = [1, -1, -1, 1, 1, -1, -1, 1];
    const task = { observed, model: (p: readonly number[]) => observed.map(() => p[0]!) };
    const whole = leastSquares({ ...task, start: [0.1], scale: [1] });
    const broken = leastSquares({ ...task, start: [0.1], scale: [1], breaks: [2, 4, 6] });
    expectWithin(broken.lagCorrelation, -1, 1e-9);
    expect(whole.lagCorrelation).toBeGreaterThan(-0.2);
  });
});

describe('a confidence interval', () => {
  it.each([
    // Quantiles of Student's t at 97.5 %, of any table.
    [1, 12.7062],
    [2, 4.30265],
    [6, 2.44691],
    [12, 2.17881],
    [30, 2.04227],
    [1e9, 1.95996],
  ])('with %i degrees of freedom is ±%f standard deviations', (degrees, factor) => {
    expectWithin(coverageFactor(degrees), factor, 5e-6);
  });

  it('covers what lies within it, ends included', () => {
    const of = estimate(10, 4, 12);
    expectWithin(of.halfWidth, 2 * 2.17881, 5e-6);
    expect(covers({ value: 10, halfWidth: 2 }, 12)).toBe(true);
    expect(covers({ value: 10, halfWidth: 2 }, 7.9)).toBe(false);
  });
});
