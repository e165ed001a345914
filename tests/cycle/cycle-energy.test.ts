import { describe, expect, it } from 'vitest';
import { type CycleLoad, cycleEnergy, REFERENCE_LOAD } from '../../src/cycle/cycle-energy.ts';

const load: CycleLoad = { constant: 100, linear: 2, square: 0.5, inertia: 1000 };

describe('the cycle energy', () => {
  it('is force at the mean speed times distance, traction and braking apart', () => {
    const motion = { time: Float64Array.of(0, 10, 14), speed: Float64Array.of(0, 10, 0) };
    // Mean 5 m/s: 100 + 10 + 12.5 = 122.5 N; 50 m at +1000 N, 20 m at -2500 N.
    expect(cycleEnergy(motion, load)).toEqual({ traction: 1122.5 * 50, braking: 2377.5 * 20 });
  });

  it('without a car is that of the reference car', () => {
    const motion = { time: Float64Array.of(0, 10), speed: Float64Array.of(20, 20) };
    // 72 km/h: 100 + 36 + 155.52 N over 200 m
    expect(cycleEnergy(motion).traction).toBeCloseTo(291.52 * 200, 8);
    expect(REFERENCE_LOAD.inertia).toBe(1545);
  });
});
