import { describe, expect, it } from 'vitest';
import { KMH } from '../../src/config/units.ts';
import { refine } from '../../src/cycle/trace.ts';
import { dynamicLimit, softLimit, tripDynamics } from '../../src/cycle/trip-dynamics.ts';
import { cycleNamed } from '../fixtures.ts';

function motion(speedsKmh: readonly number[]) {
  return {
    time: Float64Array.from(speedsKmh, (_, k) => k),
    speed: Float64Array.from(speedsKmh, (speed) => speed * KMH),
  };
}

describe('the speed bins', () => {
  it('take a speed at their limit: 60 km/h is urban, 90 km/h is rural', () => {
    const { whole, bins } = tripDynamics(motion([0, 60, 60.1, 90, 90.1, 150]));
    expect(bins.map(({ name, samples }) => [name, samples])).toEqual([
      ['urban', 2],
      ['rural', 2],
      ['motorway', 2],
    ]);
    expect(whole.samples).toBe(6);
  });

  it('together hold the samples, the distance and the positive acceleration of the whole', () => {
    const { whole, bins } = tripDynamics(cycleNamed('wltc-class3b'));
    const sum = (of: (bin: (typeof bins)[number]) => number) =>
      bins.reduce((total, bin) => total + of(bin), 0);
    expect(sum(({ samples }) => samples)).toBe(1801);
    expect(sum(({ accelerating }) => accelerating)).toBe(whole.accelerating);
    expect(sum(({ distance }) => distance)).toBeCloseTo(whole.distance, 8);
    const gained = sum(({ distance, positiveAcceleration }) => distance * positiveAcceleration);
    expect(gained).toBeCloseTo(whole.distance * whole.positiveAcceleration, 8);
  });

  it('without samples have no figures', () => {
    const motorway = tripDynamics(motion([0, 10, 20])).bins[2]!;
    expect(motorway.samples).toBe(0);
    expect(motorway.meanSpeed).toBeNaN();
    expect(motorway.positiveAcceleration).toBeNaN();
    expect(motorway.speedAcceleration95).toBeNaN();
    expect(motorway.verdict).toBeUndefined();
  });
});

describe('the verdict', () => {
  /** A saw of 40 s: up with one acceleration, down with the same, between two speeds [m/s]. */
  function saw(low: number, high: number, acceleration: number, seconds: number) {
    const time = Float64Array.from({ length: seconds + 1 }, (_, k) => k);
    const half = (high - low) / acceleration;
    const speed = time.map((t) => {
      const phase = t % (2 * half);
      return low + acceleration * (phase < half ? phase : 2 * half - phase);
    });
    return { time, speed };
  }

  it('is not given for fewer samples than the rules want', () => {
    const { bins } = tripDynamics(saw(5, 15, 1, 200));
    expect(bins[0]!.accelerating).toBeLessThan(150);
    expect(bins[0]!.verdict).toBeUndefined();
  });

  it('is within for ordinary driving, too dynamic for hard and too soft for timid driving', () => {
    expect(tripDynamics(saw(5, 15, 1, 600)).bins[0]!.verdict).toBe('within');
    expect(tripDynamics(saw(5, 15, 2.5, 600)).bins[0]!.verdict).toBe('too-dynamic');
    expect(tripDynamics(saw(5, 15, 0.125, 600)).bins[0]!.verdict).toBe('too-soft');
  });
});

describe('the limits', () => {
  it('use the mean speed in km/h, whatever unit the program keeps it in', () => {
    expect(dynamicLimit(0)).toBe(14.44);
    expect(softLimit(0)).toBe(0.1755);
    expect(softLimit(50)).toBe(0.025);
  });
});

describe('a drive that is not sampled at 1 Hz', () => {
  it('is read at whole seconds, so that a finer sampling changes nothing', () => {
    const trace = cycleNamed('udds');
    expect(tripDynamics(refine(trace, 2))).toEqual(tripDynamics(trace));
  });

  it('of a single second has two samples and no acceleration', () => {
    const { whole } = tripDynamics(motion([10, 20]));
    expect(whole.samples).toBe(2);
    expect(whole.accelerating).toBe(0);
    expect(whole.positiveAcceleration).toBe(0);
  });
});
