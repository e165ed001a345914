import { describe, expect, it } from 'vitest';
import { reserve } from '../../src/strategy/reserve.ts';
import { between, seeded } from '../seeded.ts';
import { brakingView, drivingView, off, on, view, wanted } from './views.ts';

const keep = reserve({ target: 0.7, chargePower: 6000, demandBelow: 15_000, speedAbove: 8 });

describe('a reserve for overtaking', () => {
  it('is charged by an engine under a light load until it is there', () => {
    expect(wanted(keep, drivingView())).toEqual(on(-6000));
    expect(wanted(keep, drivingView({ storeShare: 0.699 }))).toEqual(on(-6000));
    expect(wanted(keep, drivingView({ storeShare: 0.7 }))).toEqual(on());
  });

  it('is not charged under a heavy load, at low speed, in braking or at rest', () => {
    expect(wanted(keep, drivingView({ wheelPower: 14_999 })).storePower).toBe(-6000);
    expect(wanted(keep, drivingView({ wheelPower: 15_000 }))).toEqual(on());
    expect(wanted(keep, drivingView({ speed: 8.01 })).storePower).toBe(-6000);
    expect(wanted(keep, drivingView({ speed: 8 }))).toEqual(on());
    expect(wanted(keep, brakingView({ storeShare: 0 }))).toEqual(on());
    expect(wanted(keep, view({ recoverLimit: 9000 }))).toEqual(on());
  });

  it('is not charged by an engine that is to be off, nor while the store assists', () => {
    expect(wanted(keep, drivingView(), off(5000))).toEqual(off(5000));
    expect(wanted(keep, drivingView(), { storePower: 200 })).toEqual(on(200));
  });

  it('is charged with no more than the store takes and the engine has to spare', () => {
    expect(wanted(keep, drivingView({ recoverLimit: 2500 })).storePower).toBe(-2500);
    expect(wanted(keep, drivingView({ engineLimit: 9000 })).storePower).toBe(-4000);
    expect(wanted(keep, drivingView({ engineLimit: 5000 }))).toEqual(on());
    expect(wanted(keep, drivingView({ engineLimit: 1000 }))).toEqual(on());
  });

  it('never asks the engine for more than its limit, whatever the numbers', () => {
    const random = seeded(404);
    let charged = 0;
    for (let k = 0; k < 5000; k++) {
      const behaviour = reserve({
        target: random(),
        chargePower: between(random, 0, 50_000),
        demandBelow: between(random, 0, 60_000),
        speedAbove: between(random, 0, 20),
      });
      const see = drivingView({
        speed: between(random, 0, 40),
        wheelPower: between(random, 1, 60_000),
        engineLimit: between(random, 0, 80_000),
        recoverLimit: between(random, 0, 50_000),
        storeShare: random(),
      });
      const { storePower } = wanted(behaviour, see);
      expect(-storePower).toBeLessThanOrEqual(see.recoverLimit);
      if (storePower === 0) continue;
      charged++;
      expect(storePower).toBeLessThan(0);
      const slack = 1e-9 * see.engineLimit;
      expect(see.wheelPower - storePower).toBeLessThanOrEqual(see.engineLimit + slack);
    }
    expect(charged).toBeGreaterThan(200);
  });
});
