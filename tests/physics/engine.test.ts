import { describe, expect, it } from 'vitest';
import { Table } from '../../src/physics/curve.ts';
import {
  type Engine,
  EngineMap,
  frictionPower,
  fuelPower,
  meanPressurePower,
  warmUpFactor,
} from '../../src/physics/engine.ts';
import { plainCar } from '../fixtures.ts';
import { between, seeded } from '../seeded.ts';
import { expectWithin, Worst } from '../within.ts';

/** 2 L, 1.2 bar at rest and 0.2 bar more at 200 rad/s, 40 %. */
const engine: Engine = {
  ...plainCar.engine,
  displacement: 2e-3,
  frictionPressure0: 1.2e5,
  frictionPressure1: 100,
  fuelUse: { form: 'affine', efficiency: 0.4 },
};

describe('a mean effective pressure', () => {
  it('gives pressure times swept volume every second turn', () => {
    // 1e5 Pa · 2e-3 m³ · (4π rad/s / 4π) = 200 W
    expectWithin(meanPressurePower(1e5, 2e-3, 4 * Math.PI), 200, 1e-14);
  });
});

describe('the friction of the engine', () => {
  it('grows with speed through both terms', () => {
    // (1.2e5 + 100 · 200) Pa · 2e-3 m³ · 200 / 4π = 56 000 / 4π
    expectWithin(frictionPower(engine, 200), 4456.338407, 1e-9);
    expect(frictionPower(engine, 0)).toBe(0);
  });
});

describe('the warm-up', () => {
  const warmUp = { extra: 0.5, timeConstant: 100, noStopBefore: 0 };

  it('adds its whole extra friction at the cold start and half of it after ln 2 time constants', () => {
    expect(warmUpFactor(warmUp, 0)).toBe(1.5);
    expectWithin(warmUpFactor(warmUp, 100 * Math.LN2), 1.25, 1e-14);
  });

  it('is over for an engine that starts warm', () => {
    expect(warmUpFactor({ ...warmUp, extra: 0 }, 0)).toBe(1);
  });
});

describe('the fuel of an affine engine', () => {
  const friction = 3000;

  it('is brake and friction power over the efficiency', () => {
    // (10 000 + 3000) / 0.4
    expectWithin(fuelPower(engine, 200, 10_000, friction, friction), 32_500, 1e-14);
  });

  it('is nothing when the fuel is cut, and less than nothing never', () => {
    expect(fuelPower(engine, 200, -friction, friction, friction)).toBe(0);
    expect(fuelPower(engine, 200, -2 * friction, friction, friction)).toBe(0);
  });

  it('pays the extra friction of a cold engine like a load', () => {
    // (10 000 + 4500) / 0.4; nothing at −4500 W
    expectWithin(fuelPower(engine, 200, 10_000, friction, 4500), 36_250, 1e-14);
    expect(fuelPower(engine, 200, -4500, friction, 4500)).toBe(0);
  });
});

describe('a fuel law of a user', () => {
  it('sees speed, load and warm friction, with the extra friction of a cold engine in the load', () => {
    const seen: number[][] = [];
    const own: Engine = {
      ...engine,
      fuelUse: {
        form: 'function',
        fuelPower: (...values) => {
          seen.push(values);
          return 3 * (values[1] + values[2]);
        },
      },
    };
    expect(fuelPower(own, 150, 1000, 200, 260)).toBe(3 * 1260);
    expect(seen).toEqual([[150, 1060, 200]]);
  });
});

/** 100 and 200 rad/s; −20, 0, 100 N m. Fuel power of no formula, so that no term can hide. */
function measured(): EngineMap {
  return new EngineMap(
    new Table([100, 200], [-20, 0, 100], [500, 2500, 28_000, 1200, 6000, 60_000]),
  );
}

describe('a measured fuel map', () => {
  it('is bilinear in the fuel flow inside its field', () => {
    const map = measured();
    expect(map.fuelPower(100, 0, 4000)).toBe(2500);
    expectWithin(map.fuelPower(200, 100 * 200, 4000), 60_000, 1e-14);
    // midway: mean of 2500, 28 000, 6000, 60 000
    expectWithin(map.fuelPower(150, 50 * 150, 4000), 24_125, 1e-14);
    expect(map.outside).toBe(0);
  });

  it('falls in a line from its lowest torque to nothing at the friction torque', () => {
    const map = measured();
    // friction 4000 W at 100 rad/s is −40 N m; −30 N m is midway between it and −20 N m
    expectWithin(map.fuelPower(100, -30 * 100, 4000), 250, 1e-13);
    expect(map.fuelPower(100, -4000, 4000)).toBe(0);
    expect(map.outside).toBe(0);
  });

  it('asks above its highest torque for the edge’s fuel for each unit of work, and counts it', () => {
    const map = measured();
    expectWithin(map.fuelPower(100, 150 * 100, 4000), 1.5 * 28_000, 1e-14);
    expect(map.outside).toBe(1);
  });

  it('asks beyond its speeds for the edge’s fuel for each revolution, and counts it', () => {
    const map = measured();
    expectWithin(map.fuelPower(50, 100 * 50, 2000), 0.5 * 28_000, 1e-14);
    expectWithin(map.fuelPower(300, 100 * 300, 9000), 1.5 * 60_000, 1e-14);
    expectWithin(map.fuelPower(300, 200 * 300, 9000), 3 * 60_000, 1e-14);
    expect(map.outside).toBe(3);
  });

  it('counts a positive torque below its field, where the measurement starts too high', () => {
    const map = new EngineMap(new Table([100, 200], [20, 100], [6000, 28_000, 12_000, 60_000]));
    // from 0 at −40 N m to 6000 W at 20 N m: 5000 W at 10 N m
    expectWithin(map.fuelPower(100, 10 * 100, 4000), 5000, 1e-13);
    expect(map.outside).toBe(1);
    // overrun is no measurement left out: nothing is counted
    expectWithin(map.fuelPower(100, -10 * 100, 4000), 3000, 1e-13);
    expect(map.outside).toBe(1);
  });

  it('is continuous where its field ends, and more work never burns less', () => {
    const map = measured();
    const random = seeded(31);
    const steps = new Worst();
    const falls = new Worst();
    for (let i = 0; i < 3000; i++) {
      const speed = between(random, 40, 320);
      const friction = between(random, 25, 60) * speed;
      const torque = [-20, 0, 100, between(random, -24, 160)][i % 4]!;
      const before = map.fuelPower(speed, (torque - 1e-6) * speed, friction);
      const after = map.fuelPower(speed, (torque + 1e-6) * speed, friction);
      // The slope is nowhere above 1500 W/(N m): 0.003 W over 2e-6 N m.
      steps.see(Math.abs(after - before), () => `${torque} N m at ${speed} rad/s`);
      falls.see(before - after, () => `${torque} N m at ${speed} rad/s`);
    }
    for (const speed of [100, 200]) {
      const step =
        map.fuelPower(speed * (1 + 1e-9), 3000, 4000) -
        map.fuelPower(speed * (1 - 1e-9), 3000, 4000);
      steps.see(Math.abs(step), () => `across ${speed} rad/s`);
    }
    steps.expectAtMost(0.003);
    falls.expectAtMost(0);
  });

  it('of an affine engine says what the affine engine says', () => {
    const speeds = [80, 160, 300, 500];
    const torques = [-15, 0, 60, 200];
    const perRadian = (speed: number, torque: number) =>
      fuelPower(
        engine,
        speed,
        torque * speed,
        frictionPower(engine, speed),
        frictionPower(engine, speed),
      );
    const map = new EngineMap(
      new Table(
        speeds,
        torques,
        speeds.flatMap((speed) => torques.map((torque) => perRadian(speed, torque))),
      ),
    );
    const tabulated: Engine = { ...engine, fuelUse: { form: 'table', map } };
    const worst = new Worst();
    const random = seeded(32);
    for (let i = 0; i < 500; i++) {
      // On the measured speeds, where bilinear is exact for a law that is affine in torque.
      const speed = speeds[i % 4]!;
      const friction = frictionPower(engine, speed);
      const torque = between(random, -friction / speed, 200);
      const cold = friction * between(random, 1, 1.3);
      const brake = torque * speed - (cold - friction);
      const affine = fuelPower(engine, speed, brake, friction, cold);
      const table = fuelPower(tabulated, speed, brake, friction, cold);
      worst.see(Math.abs(table - affine), () => `${torque} N m at ${speed} rad/s`);
    }
    // Of up to 250 kW: rounding.
    worst.expectAtMost(1e-9);
    expect(map.outside).toBe(0);
  });
});
