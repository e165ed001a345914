import { describe, expect, it } from 'vitest';
import type { EngineMap, FuelUse } from '../../src/physics/engine.ts';
import type { Car } from '../../src/simulate/car.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { type Run, run } from '../../src/simulate/run.ts';
import { initialState, type State } from '../../src/simulate/state.ts';
import type { Step } from '../../src/simulate/step.ts';
import { debtFuel, marginalFuel, totalFuel } from '../../src/simulate/total-fuel.ts';
import { combine } from '../../src/strategy/combine.ts';
import { cycleNamed, plainCar } from '../fixtures.ts';
import { expectWithin } from '../within.ts';
import { humpedMap, stopAndGo } from './drives.ts';

function carWith(fuelUse: FuelUse): Car {
  return { ...plainCar, engine: { ...plainCar.engine, fuelUse } };
}

const stopStart = () => combine('stop-start', { stopStart: { delay: 0 } });

function drive(
  car: Car,
  trace = stopAndGo(3),
  from: State = initialState(car, undefined),
  watch?: (step: Readonly<Step>) => void,
): Run {
  return run(car, undefined, new Demand(car, undefined, trace), stopStart(), from, watch);
}

describe('the marginal fuel of shaft work', () => {
  it('is the inverse of the efficiency of an affine engine', () => {
    expect(marginalFuel(plainCar, drive(plainCar))).toBe(1 / 0.44);
  });

  it('is the slope of a measured map at the mean speed and brake power of the run', () => {
    const map: EngineMap = humpedMap();
    const car = carWith({ form: 'table', map });
    let on = 0;
    let angle = 0;
    let work = 0;
    const done = drive(car, cycleNamed('udds'), undefined, (step) => {
      if (!step.engineOn) return;
      on += step.dt;
      angle += step.engineSpeed * step.dt;
      work += Math.max(step.engineBrake, 0) * step.dt;
    });
    const [speed, brake] = [angle / on, work / on];
    // The map by bilinear interpolation of its own figures, between torques of 10 and 60 N m.
    const torque = brake / speed;
    expect(torque).toBeGreaterThan(11);
    expect(torque).toBeLessThan(59);
    const at = (x: number, y: number) => {
      const friction = (20 + 0.05 * x) * x;
      return (y * x + friction) / (0.42 - 0.0002 * Math.abs(y - 200));
    };
    const [low, high] = [90, 150, 220, 320].flatMap((x, i, grid) =>
      x <= speed && speed < (grid[i + 1] ?? 0) ? [x, grid[i + 1]!] : [],
    ) as [number, number];
    const share = (speed - low) / (high - low);
    const perTorque = (x: number) => (at(x, 60) - at(x, 10)) / 50;
    const slope = ((1 - share) * perTorque(low) + share * perTorque(high)) / speed;
    // Linear between the two torques, so a central difference is exact but for rounding.
    expectWithin(marginalFuel(car, done), slope, 1e-10);
  });

  it('is that of a custom function by central difference', () => {
    // fuel = 2.3 (P + P_f) + 1e-6 (P + P_f)²: the slope at a point is 2.3 + 2e-6 (P + P_f).
    const car = carWith({
      form: 'function',
      fuelPower: (_speed, brake, friction) =>
        (brake + friction) * (2.3 + 1e-6 * (brake + friction)),
    });
    const done = drive(car);
    const { meanEngineSpeed: speed, meanEngineBrake: brake } = done.ledger;
    const pressure = 1.3e5 + (0.25e5 * speed * 60) / (2 * Math.PI * 1000);
    const friction = (pressure * 2e-3 * speed) / (4 * Math.PI);
    expectWithin(marginalFuel(car, done), 2.3 + 2e-6 * (brake + friction), 1e-9);
  });

  it('is taken at idle for an engine that never ran', () => {
    const car = carWith({
      form: 'function',
      fuelPower: (speed, brake, friction) => (brake + friction) * (1 + speed),
    });
    const off: State = { ...initialState(car, undefined), engineOn: false, engineSpeed: 0 };
    const standing = { ...stopAndGo(1), speed: new Float64Array(71) };
    const done = drive(car, { ...standing, level: new Float64Array(70) }, off);
    expect(done.ledger.engineOnTime).toBe(0);
    expectWithin(marginalFuel(car, done), 1 + plainCar.engine.idleSpeed, 1e-9);
  });
});

describe('the fuel of what the battery is owed', () => {
  it('is the debt over the alternator’s efficiency and the engine’s', () => {
    const done = drive(plainCar);
    expect(done.ledger.debtChange).toBeGreaterThan(1000);
    expect(done.end.batteryDebt).toBe(done.ledger.debtChange);
    expectWithin(debtFuel(plainCar, done), done.ledger.debtChange / 0.65 / 0.44, 1e-12);
    expect(totalFuel(plainCar, done)).toBe(done.ledger.fuel + debtFuel(plainCar, done));
  });

  it('is what paying it back while idling costs more than idling', () => {
    const done = drive(plainCar);
    const debt = done.end.batteryDebt;
    const rest = { ...stopAndGo(1), speed: new Float64Array(71), level: new Float64Array(70) };
    const idle = (batteryDebt: number) =>
      run(plainCar, undefined, new Demand(plainCar, undefined, rest), combine('as it is', {}), {
        ...initialState(plainCar, undefined),
        batteryDebt,
      });
    const [paying, free] = [idle(debt), idle(0)];
    expect(paying.end.batteryDebt).toBe(0);
    expectWithin(paying.ledger.fuel - free.ledger.fuel, debtFuel(plainCar, done), 1e-9);
    // In sum the debt has cost once: what the first run was charged, the second is given back.
    expectWithin(totalFuel(plainCar, paying), totalFuel(plainCar, free), 1e-9);
  });

  it('is nothing where nothing was owed', () => {
    const done = run(
      plainCar,
      undefined,
      new Demand(plainCar, undefined, stopAndGo(1)),
      combine('as it is', {}),
      initialState(plainCar, undefined),
    );
    expect(done.ledger.debtChange).toBe(0);
    expect(debtFuel(plainCar, done)).toBe(0);
    expect(totalFuel(plainCar, done)).toBe(done.ledger.fuel);
  });
});
