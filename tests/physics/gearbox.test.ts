import { describe, expect, it } from 'vitest';
import { gearByThresholds, inputSpeedRatio } from '../../src/physics/gearbox.ts';
import { plainCar } from '../fixtures.ts';
import { between, seeded } from '../seeded.ts';
import { expectWithin } from '../within.ts';

describe('the ratio of a gear', () => {
  it('turns road speed into input speed through gear, final drive and tyre', () => {
    const gearbox = {
      ...plainCar.gearbox,
      ratios: Float64Array.of(4, 2),
      finalDriveRatio: 3,
    };
    // 4 · 3 / 0.3 = 40 and 2 · 3 / 0.3 = 20 rad/s for each m/s
    expectWithin(inputSpeedRatio(gearbox, 1, 0.3), 40, 1e-15);
    expectWithin(inputSpeedRatio(gearbox, 2, 0.3), 20, 1e-15);
  });
});

describe('gear choice by speed', () => {
  const choice = {
    by: 'thresholds',
    up: Float64Array.of(5, 10, 15),
    down: Float64Array.of(3, 7, 12),
  } as const;

  it('changes up at the upper speeds and down below the lower ones', () => {
    expect(gearByThresholds(choice, 4.99, 1)).toBe(1);
    expect(gearByThresholds(choice, 5, 1)).toBe(2);
    expect(gearByThresholds(choice, 3, 2)).toBe(2);
    expect(gearByThresholds(choice, 2.99, 2)).toBe(1);
    expect(gearByThresholds(choice, 12, 4)).toBe(4);
    expect(gearByThresholds(choice, 11.99, 4)).toBe(3);
  });

  it('skips gears when the speed has run away', () => {
    expect(gearByThresholds(choice, 30, 1)).toBe(4);
    expect(gearByThresholds(choice, 0, 4)).toBe(1);
    expect(gearByThresholds(choice, 8, 4)).toBe(3);
  });

  it('keeps the gear it came with between the two speeds', () => {
    for (const [speed, lower, upper] of [
      [4, 1, 2],
      [8, 2, 3],
      [13, 3, 4],
    ] as const) {
      expect(gearByThresholds(choice, speed, lower)).toBe(lower);
      expect(gearByThresholds(choice, speed, upper)).toBe(upper);
    }
  });

  it('never hunts: a gear once chosen stays at the same speed', () => {
    const random = seeded(41);
    for (let i = 0; i < 2000; i++) {
      const speed = between(random, 0, 20);
      const from = 1 + Math.floor(4 * random());
      const chosen = gearByThresholds(choice, speed, from);
      expect(gearByThresholds(choice, speed, chosen)).toBe(chosen);
    }
  });

  it('has nothing to choose in a box of one gear', () => {
    const single = {
      by: 'thresholds',
      up: new Float64Array(0),
      down: new Float64Array(0),
    } as const;
    expect(gearByThresholds(single, 0, 1)).toBe(1);
    expect(gearByThresholds(single, 50, 1)).toBe(1);
  });
});
