/**
 * Ideal brake distribution and braking with one axle, for a car with 58 % of its weight in front, a
 * centre of gravity 0.55 m high and a wheelbase of 2.70 m. The formulas are elementary (moments
 * about the contact lines); the figures are computed here, to five places.
 *   F_f / (m g) = z (1 − ψ + χ z), F_r / (m g) = z (ψ − χ z); ψ rear static share, χ = h / L
 *   z_max = μ ψ / (1 + μ χ) rear only, μ (1 − ψ) / (1 − μ χ) front only
 */
import { describe, expect, it } from 'vitest';
import { GRAVITY } from '../../src/physics/air.ts';
import { type Axles, axleLoad, singleAxleBrakingLimit } from '../../src/physics/axle.ts';
import { LIMIT } from '../../src/physics/limit.ts';
import { type WheelCaps, wheelCaps } from '../../src/physics/store.ts';
import { plainStore } from '../fixtures.ts';
import { expectWithin } from '../within.ts';

const axles: Axles = { frontShare: 0.58, heightRatio: 0.55 / 2.7 };
const FIVE_PLACES = 5e-5;

describe('the ideal distribution of braking force', () => {
  it.each([
    { z: 0.2, front: 0.124_15, rear: 0.075_85, share: 0.620_74 },
    { z: 0.3, front: 0.192_33, rear: 0.107_67, share: 0.641_11 },
    { z: 0.4, front: 0.264_59, rear: 0.135_41, share: 0.661_48 },
    { z: 0.6, front: 0.421_33, rear: 0.178_67, share: 0.702_22 },
    { z: 0.8, front: 0.594_37, rear: 0.205_63, share: 0.742_96 },
  ])('at $z g follows the loads of the axles: $share in front', ({ z, front, rear, share }) => {
    const weight = 1500 * GRAVITY;
    const onFront = axleLoad(axles, 'front', 1500, -z * GRAVITY, 0) / weight;
    const onRear = axleLoad(axles, 'rear', 1500, -z * GRAVITY, 0) / weight;
    expectWithin(z * onFront, front, FIVE_PLACES);
    expectWithin(z * onRear, rear, FIVE_PLACES);
    expectWithin(onFront / (onFront + onRear), share, FIVE_PLACES);
  });
});

describe('a store on one axle may brake', () => {
  const cases = [
    { axle: 'rear', grip: 0.8, z: 0.288_92 },
    { axle: 'front', grip: 0.8, z: 0.554_34 },
    { axle: 'rear', grip: 0.3, z: 0.118_74 },
    { axle: 'front', grip: 0.3, z: 0.185_33 },
  ] as const;

  it.each(cases)('$z g on the $axle with a grip of $grip', ({ axle, grip, z }) => {
    expectWithin(singleAxleBrakingLimit(axles, axle, grip), z, FIVE_PLACES);
  });

  it.each(cases)('so that its cap there is just the force of $z g on the $axle', (one) => {
    const { axle, grip, z } = one;
    const caps: WheelCaps = { recover: 0, recoverLimit: 0, assist: 0, assistLimit: 0 };
    const store = {
      ...plainStore,
      axle,
      adhesionLimit: grip,
      powerLimit: 1e9,
      axleTorqueLimit: 1e9,
      brakeShareLimit: 1,
      frictionOnlyAbove: 1e9,
    };
    const speed = 20;
    const exact = singleAxleBrakingLimit(axles, axle, grip);
    const power = 1500 * exact * GRAVITY * speed;
    wheelCaps(store, axles, 1500, 0.3, speed, -exact * GRAVITY, 0, -1.001 * power, caps);
    expectWithin(caps.recover, power, 1e-12);
    expectWithin(caps.recover, 1500 * z * GRAVITY * speed, FIVE_PLACES);
    expect(caps.recoverLimit).toBe(LIMIT.adhesion);
  });
});
