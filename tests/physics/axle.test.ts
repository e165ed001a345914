import { describe, expect, it } from 'vitest';
import { GRAVITY } from '../../src/physics/air.ts';
import { type Axles, axleLoad, singleAxleBrakingLimit } from '../../src/physics/axle.ts';
import { between, seeded } from '../seeded.ts';
import { expectWithin, Worst } from '../within.ts';

const axles: Axles = { frontShare: 0.6, heightRatio: 0.2 };

describe('the load of an axle', () => {
  it('is its static share at rest on the flat', () => {
    // 1000 · 9.80665 · 0.6 and · 0.4
    expectWithin(axleLoad(axles, 'front', 1000, 0, 0), 5883.99, 1e-12);
    expectWithin(axleLoad(axles, 'rear', 1000, 0, 0), 3922.66, 1e-12);
  });

  it('moves to the front in braking and to the rear in acceleration', () => {
    // 1000 · 5 · 0.2 = 1000 N
    expectWithin(axleLoad(axles, 'front', 1000, -5, 0), 6883.99, 1e-12);
    expectWithin(axleLoad(axles, 'rear', 1000, -5, 0), 2922.66, 1e-12);
    expectWithin(axleLoad(axles, 'front', 1000, 5, 0), 4883.99, 1e-12);
    expectWithin(axleLoad(axles, 'rear', 1000, 5, 0), 4922.66, 1e-12);
  });

  it('moves to the rear uphill', () => {
    // cos = √0.99 = 0.99498744; 9757.494 · 0.6 − 9806.65 · 0.1 · 0.2 = 5854.4963 − 196.1330
    expectWithin(axleLoad(axles, 'front', 1000, 0, 0.1), 5658.3633, 1e-7);
    // 9757.494 · 0.4 + 196.1330
    expectWithin(axleLoad(axles, 'rear', 1000, 0, 0.1), 4099.1305, 1e-7);
  });

  it('keeps its share in a car that coasts freely on a slope', () => {
    const sine = -0.08;
    const load = axleLoad(axles, 'front', 1000, -GRAVITY * sine, sine);
    expectWithin(load, 1000 * GRAVITY * Math.sqrt(1 - sine * sine) * 0.6, 1e-14);
  });

  it('adds up with the other to the weight on the road, also when one axle lifts', () => {
    const random = seeded(11);
    const worst = new Worst();
    let lifted = 0;
    for (let i = 0; i < 2000; i++) {
      const some = {
        frontShare: between(random, 0.35, 0.65),
        heightRatio: between(random, 0, 0.5),
      };
      const mass = between(random, 500, 5000);
      const acceleration = between(random, -14, 14);
      const sine = between(random, -0.3, 0.3);
      const front = axleLoad(some, 'front', mass, acceleration, sine);
      const rear = axleLoad(some, 'rear', mass, acceleration, sine);
      const weight = mass * GRAVITY * Math.sqrt(1 - sine * sine);
      if (front === 0 || rear === 0) lifted++;
      worst.see(Math.abs((front + rear) / weight - 1), () => `case ${i}`);
    }
    expect(lifted).toBeGreaterThan(20);
    worst.expectAtMost(1e-14);
  });
});

describe('braking with one axle alone', () => {
  it('gives a car of 60 % front load 0.55 g at the front and 0.30 g at the rear on a grip of 0.8', () => {
    // 0.8 · 0.6 / (1 − 0.16) and 0.8 · 0.4 / (1 + 0.16)
    expectWithin(singleAxleBrakingLimit(axles, 'front', 0.8), 0.48 / 0.84, 1e-14);
    expectWithin(singleAxleBrakingLimit(axles, 'rear', 0.8), 0.32 / 1.16, 1e-14);
  });

  it('ends where the force of the whole deceleration equals grip times the load at it', () => {
    const random = seeded(12);
    const worst = new Worst();
    for (let i = 0; i < 500; i++) {
      const some = { frontShare: between(random, 0.4, 0.65), heightRatio: between(random, 0, 0.3) };
      const grip = between(random, 0.05, 0.9);
      for (const axle of ['front', 'rear'] as const) {
        const z = singleAxleBrakingLimit(some, axle, grip);
        const force = grip * axleLoad(some, axle, 1, -z * GRAVITY, 0);
        worst.see(Math.abs(force / (z * GRAVITY) - 1), () => `${axle}, case ${i}`);
      }
    }
    worst.expectAtMost(1e-13);
  });
});
