/**
 * Trip dynamics after Commission Regulation (EU) 2016/646, Appendix 7a. The regulation exists; its
 * formulas are from memory, so that the figures below, computed here from them by hand, guard the
 * program and claim no agreement with a publication.
 */
import { describe, expect, it } from 'vitest';
import { KMH } from '../../src/config/units.ts';
import { smooth } from '../../src/cycle/smooth.ts';
import { cycleStatistics } from '../../src/cycle/statistics.ts';
import { dynamicLimit, softLimit, tripDynamics } from '../../src/cycle/trip-dynamics.ts';
import { noisyConstantSpeed } from '../cycle/noise.ts';

describe('the limits of the real-driving rules', () => {
  // Given to three or four places.
  it.each([
    [30, 18.52, 0.1275],
    [60, 22.6, 0.0795],
    [90, 25.644, 0.0315],
    [100, 26.386, 0.025],
  ])('at a mean of %d km/h', (kmh, dynamic, soft) => {
    expect(Math.abs(dynamicLimit(kmh * KMH) - dynamic)).toBeLessThan(5.1e-4);
    expect(Math.abs(softLimit(kmh * KMH) - soft)).toBeLessThan(1e-9);
  });

  it('step down where their branches meet at 74.6 km/h', () => {
    expect(Math.abs(dynamicLimit(74.59 * KMH) - 24.586)).toBeLessThan(0.002);
    expect(Math.abs(dynamicLimit(74.61 * KMH) - 24.501)).toBeLessThan(0.002);
  });
});

describe('a pull-away worked out by hand', () => {
  // v = 0, 0, 1, 2, 3, 3, 3 m/s at 1 Hz; a = 0, 0.5, 1, 1, 0.5, 0, 0; v a = 0, 0, 1, 2, 1.5, 0, 0.
  const speed = Float64Array.of(0, 0, 1, 2, 3, 3, 3);
  const time = speed.map((_, k) => k);

  it('has a relative positive acceleration of 4.5 / 12', () => {
    const { whole, bins } = tripDynamics({ time, speed });
    expect(whole.distance).toBe(12);
    expect(whole.positiveAcceleration).toBe(0.375);
    expect(bins[0]!.positiveAcceleration).toBe(0.375);
  });

  it('has 1.925 m²/s³ as the 95th percentile of 0, 1, 1.5 and 2', () => {
    const { whole } = tripDynamics({ time, speed });
    expect(whole.accelerating).toBe(4);
    expect(whole.speedAcceleration95).toBeCloseTo(1.925, 14);
  });

  it('has 4.5 / 10.5 by the integral of a speed that is linear between the samples', () => {
    const level = Float64Array.of(0, 0.5, 1.5, 2.5, 3, 3);
    const trace = { name: 'pull-away', time, speed, climb: new Float64Array(6), level };
    const { relativePositiveAcceleration } = cycleStatistics(trace);
    expect(relativePositiveAcceleration.exact).toBeCloseTo(4.5 / 10.5, 14);
  });
});

describe('the noise of a satellite receiver', () => {
  // Doppler speed noise of 0.05 to 0.2 m/s: from memory.
  const noisy = () => noisyConstantSpeed(36_000, 50 * KMH, 0.1, 120);

  it('of 0.1 m/s makes accelerations of 0.0707 m/s² by central differences', () => {
    // Computed here: σ/√2 of independent samples. 1 % is more than twice the scatter of the estimate.
    const { speed } = noisy();
    let sum = 0;
    for (let k = 1; k + 1 < speed.length; k++) sum += ((speed[k + 1]! - speed[k - 1]!) / 2) ** 2;
    const deviation = Math.sqrt(sum / (speed.length - 2));
    expect(Math.abs(deviation / (0.1 / Math.SQRT2) - 1)).toBeLessThan(0.01);
  });

  it.each(['five-point-mean', 'savitzky-golay-9', 't4253h'] as const)(
    'leaves a steady 50 km/h a relative positive acceleration below 0.03 m/s² after %s',
    (method) => {
      const trace = noisy();
      const before = cycleStatistics(trace).relativePositiveAcceleration;
      // By intervals σ_a = 0.141 m/s²: σ_a / √(2π) = 0.056 m/s² of acceleration that is not there.
      expect(before.exact).toBeGreaterThan(0.05);
      smooth(trace.speed, method);
      const after = cycleStatistics(trace).relativePositiveAcceleration;
      expect(after.exact).toBeLessThan(0.03);
      expect(after.centralDifferences).toBeLessThan(0.03);
      expect(after.centralAboveThreshold).toBeLessThan(0.03);
    },
  );
});
