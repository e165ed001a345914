import { describe, expect, it } from 'vitest';
import { Table } from '../../src/physics/curve.ts';
import { type Engine, EngineMap } from '../../src/physics/engine.ts';
import type { Car } from '../../src/simulate/car.ts';
import { expectWithin } from '../within.ts';
import { handCar, handStore, single } from './drives.ts';

/** Only rounding may part a result from the same sum done by hand. */
const EXACT = 1e-12;

const standing = { from: 0, to: 0 };
const off = { engineOn: false, engineSpeed: 0 };

/** Fuel of idling: 28 N m of friction at 80 rad/s, and 300/0.6 W of alternator; 6850 W. */
const idleFuel = (2240 + 500) / 0.4;

function carWith(change: Partial<Engine>): Car {
  return { ...handCar, engine: { ...handCar.engine, ...change } };
}

describe('an idling engine', () => {
  it('burns its friction and the alternator’s load', () => {
    const { step, state } = single(standing);
    expect(step.engineOn).toBe(true);
    expect(step.clutched).toBe(false);
    expect(step.engineSpeed).toBe(80);
    expectWithin(step.fuel, idleFuel, EXACT);
    expectWithin(step.accessories, 500, EXACT);
    expectWithin(step.alternatorLoss, 200, EXACT);
    expect(step.debtChange).toBe(0);
    expect(state.engineTime).toBe(1001);
    expect(state.runningTime).toBe(1001);
  });

  it('works against a converter at rest in gear, and only there', () => {
    const car: Car = {
      ...handCar,
      gearbox: {
        ...handCar.gearbox,
        launch: { device: 'converter', engagementSpeed: 100, creepTorque: 10 },
      },
    };
    const inGear = single({ ...standing, car });
    expect(inGear.step.launchSlip).toBe(800);
    expectWithin(inGear.step.fuel, (2240 + 500 + 800) / 0.4, EXACT);
    const neutral = single({ ...standing, car, want: { clutched: false } });
    expect(neutral.step.launchSlip).toBe(0);
    expectWithin(neutral.step.fuel, idleFuel, EXACT);
    const rolling = single({ from: 2, to: 1, car });
    expect(rolling.step.launchSlip).toBe(0);
    expectWithin(rolling.step.fuel, idleFuel, EXACT);
  });

  it('while the store carries the car alone, stays in gear if the strategy leaves it there', () => {
    const carried = { from: 8, to: 8, store: handStore, want: { storePower: 1600 } };
    const inGear = single(carried);
    expect(inGear.step.clutched).toBe(true);
    expect(inGear.step.engineWheel).toBe(0);
    // Friction at 160 rad/s, alternator, and the gearbox input that goes along.
    expectWithin(inGear.step.fuel, (5760 + 500 + 320) / 0.4, EXACT);
    const neutral = single({ ...carried, want: { storePower: 1600, clutched: false } });
    expect(neutral.step.clutched).toBe(false);
    expectWithin(neutral.step.fuel, idleFuel, EXACT);
  });

  it('cannot be declutched while the wheels need it', () => {
    const { step } = single({ from: 8, to: 8, want: { clutched: false, engineOn: false } });
    expect(step.clutched).toBe(true);
    expect(step.engineOn).toBe(true);
    expect(step.engineWheel).toBe(1600);
  });
});

describe('a measured map', () => {
  // 100 to 200 rad/s and 0 to 100 N m; fuel is 3 W for each W of work, and 6 kW on top.
  const speeds = [100, 200];
  const torques = [0, 100];
  const fuel = speeds.flatMap((speed) => torques.map((torque) => 6000 + 3 * torque * speed));
  const car = carWith({
    fuelUse: { form: 'table', map: new EngineMap(new Table(speeds, torques, fuel)) },
  });

  it('is read at the engine’s mean speed and brake power', () => {
    const { step } = single({ from: 8, to: 8, car });
    expectWithin(step.fuel, 6000 + 3 * (1600 / 0.855 + 320 + 500), EXACT);
    expect(step.outsideMap).toBe(false);
  });

  it('says when it is read outside its field, and only then', () => {
    const slow = single({ ...standing, car });
    expect(slow.step.outsideMap).toBe(true);
    // Over 100 N m at 160 rad/s
    const hard = single({ from: 7, to: 9, car });
    expect(hard.step.engineBrake).toBeGreaterThan(16_000);
    expect(hard.step.outsideMap).toBe(true);
    expect(single({ from: 8, to: 8, car }).step.outsideMap).toBe(false);
  });

  it('is not read at all with the fuel cut or the engine off', () => {
    expect(single({ from: 9, to: 7, car }).step.outsideMap).toBe(false);
    const stopped = single({ ...standing, car, want: { engineOn: false } });
    expect(stopped.step.outsideMap).toBe(false);
  });
});

describe('an engine that is off', () => {
  it('burns nothing and lets the battery carry the load, as a debt over its efficiency', () => {
    const { step, state } = single({
      ...standing,
      dt: 4,
      want: { engineOn: false },
      state: { engineSpeed: 80, batteryDebt: 100 },
    });
    expect(step.engineOn).toBe(false);
    expect(step.fuel).toBe(0);
    expect(step.accessories).toBe(0);
    expect(step.engineSpeed).toBe(0);
    expect(step.electricLoad).toBe(300);
    // 300/0.8 = 375 W for 4 s
    expectWithin(step.debtChange, 375, EXACT);
    expectWithin(step.batteryLoss, 75, EXACT);
    expectWithin(state.batteryDebt, 100 + 1500, EXACT);
    expect(step.batteryDebt).toBe(state.batteryDebt);
    // What turned at 80 rad/s comes to rest as heat: ½·0.2·80² = 640 J over 4 s.
    expectWithin(step.shiftLoss, 160, EXACT);
    expect(state).toMatchObject({ engineOn: false, engineSpeed: 0, engineTime: 4 });
    expect(state.runningTime).toBe(1000);
  });

  it('loses its rotation only once', () => {
    const { step, state } = single({ ...standing, want: { engineOn: false }, state: off });
    expect(step.shiftLoss).toBe(0);
    expect(state.engineTime).toBe(1001);
  });

  it('coasts with all the braking left to the store', () => {
    const store = { ...handStore, powerLimit: 50_000 };
    const { step } = single({
      from: 9,
      to: 7,
      store,
      want: { engineOn: false, storePower: -16_000 },
      state: off,
    });
    expect(step.engineOn).toBe(false);
    expect(step.engineDrag).toBe(0);
    expect(step.store).toBe(-16_000);
    expect(step.fuel).toBe(0);
  });

  it('lets the store drive the car alone', () => {
    const { step } = single({
      from: 8,
      to: 8,
      store: handStore,
      want: { engineOn: false, storePower: 1600 },
      state: off,
    });
    expect(step.engineOn).toBe(false);
    expect(step.store).toBe(1600);
    expect(step.engineWheel).toBe(0);
    expect(step.gearboxLoss).toBe(0);
    expect(step.shortfall).toBe(0);
    expect(step.fuel).toBe(0);
  });
});

describe('a restart', () => {
  it('costs its fuel and electricity, and the starter spins the engine up to idle', () => {
    const { step, state } = single({ ...standing, state: off });
    expect(step.engineStarted).toBe(true);
    expectWithin(step.fuel, idleFuel + 1000, EXACT);
    expect(step.starter).toBe(3000);
    // ½·0.2·80²
    expectWithin(step.starterWork, 640, EXACT);
    expect(step.rotating).toBe(0);
    expect(step.shiftLoss).toBe(0);
    // 3000/0.8
    expectWithin(step.debtChange, 3750, EXACT);
    expectWithin(step.batteryLoss, 750, EXACT);
    expect(state).toMatchObject({ engineOn: true, engineSpeed: 80, engineTime: 1 });
  });

  it('into a drive is spun up from idle by the engine itself', () => {
    const { step } = single({ from: 8, to: 8, dt: 2, state: off });
    expect(step.engineStarted).toBe(true);
    // ½·0.2·(160² − 80²) = 1920 J over 2 s
    expectWithin(step.rotating, 960, EXACT);
    expectWithin(step.fuel, (1600 / 0.855 + 320 + 500 + 960 + 5760) / 0.4 + 500, EXACT);
    expect(step.starter).toBe(1500);
  });

  it('into an overrun is spun up by the wheels, and burns no more than its start', () => {
    // 9 to 7 m/s: the engine goes from idle to 140 rad/s, ½·0.2·(140² − 80²) = 1320 W.
    const { step, view } = single({ from: 9, to: 7, state: off });
    const drag = (5760 + 500 + 1320 + 320) / 0.855;
    expectWithin(view.engineDrag, drag, EXACT);
    expectWithin(step.engineDrag, drag, EXACT);
    // It had to leap to 180 rad/s at the start of the interval and gave back what it lost on the way.
    expectWithin(step.rotating, 1320, EXACT);
    expectWithin(step.fuel, 1000, EXACT);
  });

  it('is not begun by the strategy before the least time off, to the instant', () => {
    const early = single({ ...standing, state: { ...off, engineTime: 1.999 } });
    expect(early.step.engineOn).toBe(false);
    expect(early.state.engineTime).toBeCloseTo(2.999, 12);
    const ripe = single({ ...standing, state: { ...off, engineTime: 2 } });
    expect(ripe.step.engineStarted).toBe(true);
  });

  it('is begun by the driver’s need at any time', () => {
    const { step } = single({
      from: 8,
      to: 8,
      want: { engineOn: false },
      state: { ...off, engineTime: 0.1 },
    });
    expect(step.engineStarted).toBe(true);
    expect(step.engineWheel).toBe(1600);
  });

  it('is begun when the store gives a little less than the whole demand', () => {
    const want = { engineOn: false, storePower: 1599 };
    const { step } = single({ from: 8, to: 8, store: handStore, want, state: off });
    expect(step.engineStarted).toBe(true);
    expect(step.engineWheel).toBe(1);
  });
});

describe('a stop', () => {
  it('is refused before the least time on, to the instant', () => {
    const want = { engineOn: false };
    const early = single({ ...standing, want, state: { engineTime: 2.999 } });
    expect(early.view.stopAllowed).toBe(false);
    expect(early.step.engineOn).toBe(true);
    const ripe = single({ ...standing, want, state: { engineTime: 3 } });
    expect(ripe.view.stopAllowed).toBe(true);
    expect(ripe.step.engineOn).toBe(false);
  });

  it('is refused before the engine has run as long as its warm-up asks', () => {
    const car = carWith({ warmUp: { extra: 0, timeConstant: 200, noStopBefore: 60 } });
    const want = { engineOn: false };
    const cold = single({ ...standing, car, want, state: { runningTime: 59.9 } });
    expect(cold.view.stopAllowed).toBe(false);
    expect(cold.step.engineOn).toBe(true);
    const warm = single({ ...standing, car, want, state: { runningTime: 60 } });
    expect(warm.step.engineOn).toBe(false);
  });

  it('is refused, and a start forced, while the battery is owed its limit', () => {
    const want = { engineOn: false };
    const below = single({ ...standing, want, state: { ...off, batteryDebt: 9999 } });
    expect(below.view.stopAllowed).toBe(true);
    expect(below.step.engineOn).toBe(false);
    const forced = single({
      ...standing,
      want,
      state: { ...off, engineTime: 0.1, batteryDebt: 10_000 },
    });
    expect(forced.view.stopAllowed).toBe(false);
    expect(forced.step.engineStarted).toBe(true);
    const running = single({ ...standing, want, state: { batteryDebt: 10_000 } });
    expect(running.step.engineOn).toBe(true);
  });

  it('is refused until the battery is owed no more than half its limit', () => {
    const want = { engineOn: false };
    const owing = single({ ...standing, want, state: { batteryDebt: 5000 } });
    expect(owing.view.stopAllowed).toBe(false);
    expect(owing.step.engineOn).toBe(true);
    const rested = single({ ...standing, want, state: { batteryDebt: 4999 } });
    expect(rested.view.stopAllowed).toBe(true);
    expect(rested.step.engineOn).toBe(false);
  });
});

describe('the battery’s debt', () => {
  it('is paid back no faster than the recharge limit, through the alternator', () => {
    const { step, state } = single({ ...standing, state: { batteryDebt: 5000 } });
    // (300 + 600)/0.6
    expectWithin(step.accessories, 1500, EXACT);
    expectWithin(step.alternatorLoss, 600, EXACT);
    expectWithin(step.debtChange, -600, EXACT);
    expectWithin(state.batteryDebt, 4400, EXACT);
    expectWithin(step.fuel, (2240 + 1500) / 0.4, EXACT);
  });

  it('is paid back to nothing and not beyond', () => {
    const { step, state } = single({ ...standing, dt: 2, state: { batteryDebt: 200 } });
    expectWithin(step.accessories, (300 + 100) / 0.6, EXACT);
    expect(state.batteryDebt).toBe(0);
  });

  it('takes its recharge from what the engine can give the wheels', () => {
    const free = single({ from: 8, to: 8 });
    const owing = single({ from: 8, to: 8, state: { batteryDebt: 5000 } });
    expectWithin(free.view.engineLimit - owing.view.engineLimit, 1000 * 0.855, EXACT);
  });
});

describe('a cold engine', () => {
  const car = carWith({ warmUp: { extra: 0.5, timeConstant: 200, noStopBefore: 0 } });
  /** In the middle of an interval that starts after 100 s of running */
  const factor = 1 + 0.5 * Math.exp(-100.5 / 200);

  it('burns more friction when it idles', () => {
    const { step } = single({ ...standing, car, state: { runningTime: 100 } });
    expectWithin(step.fuel, (2240 * factor + 500) / 0.4, EXACT);
  });

  it('warms along a long interval as in its middle', () => {
    const { step } = single({ ...standing, dt: 40, car, state: { runningTime: 100 } });
    expectWithin(step.fuel, (2240 * (1 + 0.5 * Math.exp(-120 / 200)) + 500) / 0.4, EXACT);
    const driving = single({ from: 8, to: 8, dt: 40, car, state: { runningTime: 100 } });
    const friction = 5760 * (1 + 0.5 * Math.exp(-120 / 200));
    expectWithin(driving.step.fuel, (1600 / 0.855 + 320 + 500 + friction) / 0.4, EXACT);
  });

  it('burns more friction when it drives', () => {
    const { step } = single({ from: 8, to: 8, car, state: { runningTime: 100 } });
    expectWithin(step.fuel, (1600 / 0.855 + 320 + 500 + 5760 * factor) / 0.4, EXACT);
  });

  it('drags more in overrun', () => {
    const { step } = single({ from: 9, to: 7, car, state: { runningTime: 100 } });
    expectWithin(step.engineDrag, (5760 * factor + 500 - 1280 + 320) / 0.855, EXACT);
    expect(step.fuel).toBe(0);
  });

  it('does not warm while it is off', () => {
    const { state } = single({
      ...standing,
      car,
      want: { engineOn: false },
      state: { ...off, runningTime: 100 },
    });
    expect(state.runningTime).toBe(100);
  });
});
