import { describe, expect, it } from 'vitest';
import { speedAfter, timeBetween } from '../../src/fit/slowing.ts';
import { solveOde } from '../published/ode.ts';
import { between, seeded } from '../seeded.ts';
import { expectWithin } from '../within.ts';

/** dv/dt = −(a + b v + c v²) in every shape that its solution can have. */
const LAWS = {
  'constant only': { a: 0.1, b: 0, c: 0 },
  'linear only': { a: 0, b: 0.01, c: 0 },
  'quadratic only': { a: 0, b: 0, c: 3e-4 },
  'constant and quadratic': { a: 0.08, b: 0, c: 2.5e-4 },
  'all three, oscillating': { a: 0.08, b: 1e-3, c: 2.5e-4 },
  'all three, decaying': { a: 0.001, b: 0.02, c: 2.5e-4 },
  'the border between the two': { a: 1e-3, b: 1e-3, c: 2.5e-4 },
  'a negative linear part': { a: 0.1, b: -5e-4, c: 3e-4 },
};

describe('the closed form of a body that slows down', () => {
  it.each(Object.entries(LAWS))('agrees with an independent solver: %s', (_, law) => {
    const rate = (_t: number, [v]: readonly number[]) => [-(law.a + law.b * v! + law.c * v! * v!)];
    for (const time of [0.5, 20, 90]) {
      const [solved] = solveOde(rate, 0, [36], time);
      // The solver's own tolerance is 1e-12.
      expectWithin(speedAfter(law, 36, time), solved!, 1e-10);
    }
  });

  it.each(Object.entries(LAWS))('gives the time between two speeds: %s', (_, law) => {
    const slow = speedAfter(law, 36, 90);
    expectWithin(timeBetween(law, 36, slow), 90, 1e-9);
    expect(timeBetween(law, 36, 36)).toBe(0);
  });

  it('stands from the moment at which it has come to rest', () => {
    const law = LAWS['constant and quadratic'];
    const stop = timeBetween(law, 36, 0);
    expectWithin(speedAfter(law, 36, stop * (1 - 1e-6)), law.a * stop * 1e-6, 1e-3);
    for (const time of [stop * 1.000001, 2 * stop, 10 * stop]) {
      expect(speedAfter(law, 36, time)).toBe(0);
    }
  });

  it('never comes to rest without a constant part', () => {
    expect(timeBetween(LAWS['linear only'], 36, 0)).toBe(Number.POSITIVE_INFINITY);
    expect(speedAfter(LAWS['linear only'], 36, 3000)).toBeGreaterThan(0);
  });

  it('takes any way in two steps as in one', () => {
    const random = seeded(3);
    for (let k = 0; k < 300; k++) {
      const law = {
        a: between(random, 0, 0.2),
        b: between(random, 0, 0.01),
        c: between(random, 0, 1e-3),
      };
      const [first, second] = [between(random, 0, 40), between(random, 0, 40)];
      const whole = speedAfter(law, 40, first + second);
      const halved = speedAfter(law, speedAfter(law, 40, first), second);
      // Absolute, in m/s: near the end the speed vanishes.
      expect(Math.abs(whole - halved)).toBeLessThan(1e-11);
    }
  });
});
