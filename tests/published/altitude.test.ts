/**
 * Altitude of logged drives against outside sources and cases with a known answer. Status:
 * - read: the figure stands in the source named, which was read.
 * - from memory: believed to stand in the source named; not looked up.
 * - computed here: worked out once by a separate program, or by hand as shown.
 */
import { describe, expect, it } from 'vitest';
import { KILOMETRE, MILLI } from '../../src/config/units.ts';
import { cumulativeGain, smoothAltitude } from '../../src/cycle/grade.ts';
import { seeded } from '../seeded.ts';

/** A steady drive with a sample every 10 m, over a road given by its height. */
function everyTenMetres(kilometres: number, height: (metres: number) => number) {
  const time = Float64Array.from({ length: kilometres * 100 + 1 }, (_, k) => k);
  return {
    motion: { time, speed: new Float64Array(time.length).fill(10) },
    altitude: time.map((t) => height(10 * t)),
  };
}

// The two-pass method over distance: Commission Regulation (EU) 2016/646, Appendix 7b; the method
// from memory, the figures computed here by a separate program that holds the whole road in metres.
describe('the two-pass smoothing of the real-driving rules', () => {
  it('leaves 0.635 m of the 1000 m that an altitude swinging by a metre seems to climb', () => {
    const { motion, altitude } = everyTenMetres(10, (metres) => (metres % 20 === 0 ? -1 : 1));
    const { gain } = smoothAltitude(motion, altitude);
    expect(Math.abs(gain.raw - 1000)).toBeLessThan(1e-6);
    // 0.693 m and 0.635 m, given to 1 mm.
    expect(Math.round(gain.afterFirstPass / MILLI)).toBe(693);
    expect(Math.round(gain.afterSecondPass / MILLI)).toBe(635);
  });

  it('leaves 97.333 m of a hill of 100 m, whose top it rounds off', () => {
    const { motion, altitude } = everyTenMetres(
      10,
      (metres) => 0.02 * Math.min(metres, 1e4 - metres),
    );
    const { gain } = smoothAltitude(motion, altitude);
    expect(Math.abs(gain.raw - 100)).toBeLessThan(1e-9);
    // Theory: 2 % of the mean absolute width of the windows, 100 m and 133.3 m, are lost. The sums
    // over whole metres, ends included, come to 1 cm more.
    expect(Math.abs(gain.afterFirstPass - 98.01)).toBeLessThan(0.0006);
    expect(Math.abs(gain.afterSecondPass - 97.333)).toBeLessThan(0.0006);
    // 97.333 m in 10 km; the rules (from memory) allow a trip 1200 m in 100 km.
    expect(Math.abs(gain.perDistance * 100 * KILOMETRE - 973.33)).toBeLessThan(0.01);
  });
});

describe('the raw sum of rises', () => {
  it('of a small walk is 13 m', () => {
    // Altitudes read on a cyclists' page, which prints 14 m; 5 + 5 + 2 + 1 is 13.
    const walk = Float64Array.of(12, 17, 15, 20, 22, 18, 15, 16, 14, 12);
    expect(cumulativeGain(walk)).toBe(13);
  });

  it('of a flat road whose every fourth point is a metre too high and as many too low is 3750 m', () => {
    // Read, a cyclist's estimate for 100 km at 10 m from point to point: with a quarter of the points
    // each 1 m up and 1 m down, independently, a step climbs 37.5 cm on average. By hand: chances
    // ¼, ½, ¼ of -1, 0, 1; E max(0, difference) = ¼·½·1 + ½·¼·1 + ¼·¼·2 = 0.375.
    const random = seeded(110);
    const points = Float64Array.from({ length: 10_001 }, () => {
      const chance = random();
      return chance < 0.25 ? -1 : chance < 0.5 ? 1 : 0;
    });
    // 10 000 dependent steps scatter by some 40 m.
    expect(Math.abs(cumulativeGain(points) - 3750)).toBeLessThan(150);
    const { motion, altitude } = everyTenMetres(100, (metres) => points[metres / 10]!);
    const { gain } = smoothAltitude(motion, altitude);
    // A flat road climbs nothing; what is left of the noise is a small part.
    expect(gain.afterSecondPass).toBeLessThan(0.02 * gain.raw);
  });
});
