import { describe, expect, it } from 'vitest';
import { KILO } from '../../src/config/units.ts';
import { altitudeChange, intervalCount, type Trace } from '../../src/cycle/trace.ts';
import { GRAVITY } from '../../src/physics/air.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { idealStoreShare, traceEnergy } from '../../src/simulate/trace-energy.ts';
import { cycleNamed, plainCar } from '../fixtures.ts';
import { between, seeded } from '../seeded.ts';
import { expectWithin } from '../within.ts';
import { anyCar, cut, flat, handCar, unevenDrive } from './drives.ts';

/** Sums that cancel are compared with what was added. */
const ROUNDING = 1e-11;

describe('the wheel energy of a trace', () => {
  it('is that of work by hand', () => {
    // 1000 kg and 100 kg of wheels, 200 N: 0 to 10 m/s in 5 s, held for 2 s, stopped in 4 s.
    const energy = traceEnergy(flat([0, 5, 7, 11], [0, 10, 10, 0]), handCar);
    expect(energy.rolling).toBe(200 * (25 + 20 + 20));
    expect(energy.traction).toBe(55_000 + 200 * 25 + 200 * 20);
    expect(energy.braking).toBe(55_000 - 200 * 20);
    expect(energy.kinetic).toBe(0);
    expect(energy.aerodynamic).toBe(0);
    expect(energy.grade).toBe(0);
  });

  it('is that of the demand of a run, for any car and drive', () => {
    const random = seeded(900);
    for (let round = 0; round < 50; round++) {
      const trace = unevenDrive(random);
      const car = anyCar(random);
      const demand = new Demand(car, undefined, trace);
      expect(demand.block(0)).toBe(intervalCount(trace));
      let traction = 0;
      let braking = 0;
      for (let i = 0; i < demand.count; i++) {
        const work = demand.wheel[i]! * demand.dt[i]!;
        if (work > 0) traction += work;
        else braking -= work;
      }
      const energy = traceEnergy(trace, car);
      expectWithin(energy.traction, traction, ROUNDING);
      expectWithin(energy.braking, braking, ROUNDING);
    }
  });

  it('driven less braked is what air, road, hills and mass took', () => {
    const random = seeded(901);
    for (let round = 0; round < 50; round++) {
      const trace = unevenDrive(random);
      const car = anyCar(random);
      const { traction, braking, aerodynamic, rolling, grade, kinetic } = traceEnergy(trace, car);
      const net = aerodynamic + rolling + grade + kinetic;
      expect(Math.abs(traction - braking - net)).toBeLessThan(ROUNDING * (traction + braking));
      const mass = car.mass + car.rotatingMass;
      const speed = trace.speed;
      const gained = 0.5 * mass * (speed[speed.length - 1]! ** 2 - speed[0]! ** 2);
      expect(Math.abs(kinetic - gained)).toBeLessThan(ROUNDING * (traction + braking));
      // A grade given at the samples may lift a car in an interval in which it does not move by none.
      const lifted = car.mass * GRAVITY * altitudeChange(trace);
      expect(Math.abs(grade - lifted)).toBeLessThan(ROUNDING * (traction + braking));
    }
  });
});

describe('an ideal store', () => {
  // Stops twice from 10 m/s: 55 kJ less 4 kJ of rolling each, 51 kJ in 4 s: 12.75 kW.
  const twoStops = flat([0, 5, 7, 11, 20, 25, 27, 31], [0, 10, 10, 0, 0, 10, 10, 0]);

  it('without a limit takes all braking and gives it back', () => {
    const store = idealStoreShare(twoStops, handCar, 1e9, 1e9);
    expect(store.braking).toBe(102 * KILO);
    expect(store.taken).toBe(102 * KILO);
    expect(store.share).toBe(1);
    expect(store.given).toBe(51 * KILO);
    expect(store.left).toBe(51 * KILO);
  });

  it('that is full loses the rest', () => {
    const store = idealStoreShare(twoStops, handCar, 20 * KILO, 1e9);
    expect(store.taken).toBe(40 * KILO);
    expect(store.full).toBe(62 * KILO);
    expect(store.overPower).toBe(0);
    expect(store.share).toBe(40 / 102);
  });

  it('takes and gives no more than its power', () => {
    const store = idealStoreShare(twoStops, handCar, 1e9, 6 * KILO);
    // 24 of 51 kJ of each stop; back in the 5 s of the second start, where 30 kJ would be possible.
    expect(store.taken).toBe(48 * KILO);
    expect(store.overPower).toBe(54 * KILO);
    expect(store.given).toBe(24 * KILO);
    expect(store.left).toBe(24 * KILO);
  });

  it('gives no more than its power, however hard the car pulls', () => {
    // Stopped in 10 s: 55 kJ less 200 N over 50 m, of which 4 kW take 40 kJ. Then off in 1 s.
    const store = idealStoreShare(flat([0, 10, 11], [10, 0, 10]), handCar, 1e9, 4 * KILO);
    expect(store.taken).toBe(40 * KILO);
    expect(store.given).toBe(4 * KILO);
    expect(store.left).toBe(36 * KILO);
  });

  it('closes its account on any drive, and takes more with more energy or power', () => {
    const random = seeded(902);
    for (let round = 0; round < 50; round++) {
      const trace = unevenDrive(random);
      const car = anyCar(random);
      const energy = between(random, 1, 800) * KILO;
      const power = between(random, 1, 100) * KILO;
      const store = idealStoreShare(trace, car, energy, power);
      const { braking, taken, full, overPower, given, left } = store;
      const tolerance = ROUNDING * (braking + 1);
      expect(braking).toBe(traceEnergy(trace, car).braking);
      expect(Math.abs(braking - taken - full - overPower)).toBeLessThan(tolerance);
      expect(Math.abs(taken - given - left)).toBeLessThan(tolerance);
      expect(left).toBeGreaterThanOrEqual(0);
      expect(left).toBeLessThanOrEqual(energy);
      for (const larger of [
        idealStoreShare(trace, car, 1.3 * energy, power),
        idealStoreShare(trace, car, energy, 1.3 * power),
      ]) {
        expect(larger.taken).toBeGreaterThanOrEqual(taken - tolerance);
      }
    }
  });

  it('of no size takes nothing, and where nobody brakes there is no share', () => {
    expect(idealStoreShare(twoStops, handCar, 0, 1e9).share).toBe(0);
    const pull: Trace = cut(twoStops, 0, 2);
    expect(idealStoreShare(pull, handCar, 1e9, 1e9)).toEqual({
      braking: 0,
      taken: 0,
      share: 0,
      full: 0,
      overPower: 0,
      given: 0,
      left: 0,
    });
  });

  it('of 400 kJ and 60 kW takes nearly all braking of a town cycle', () => {
    const { share } = idealStoreShare(cycleNamed('udds'), plainCar, 400 * KILO, 60 * KILO);
    expect(share).toBeGreaterThan(0.98);
    expect(share).toBeLessThanOrEqual(1);
  });
});
