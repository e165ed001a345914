import { describe, expect, it } from 'vitest';
import { LIMITS } from '../../src/physics/limit.ts';
import type { Store } from '../../src/physics/store.ts';
import { expectWithin } from '../within.ts';
import { handCar, handStore, type Outcome, single } from './drives.ts';

/** Only rounding may part a result from the same sum done by hand. */
const EXACT = 1e-12;

/** 9 to 7 m/s in 1 s, second gear: 200·8 − 1100·2·8 = −16 000 W at the wheels. */
const hardBraking = { from: 9, to: 7 };

/**
 * What the engine takes of it at the wheels. At 160 rad/s it has 36 N m of friction (5760 W), the
 * alternator takes 300/0.6 = 500 W, the gearbox 2·160 = 320 W, and slowing from 180 to 140 rad/s
 * its inertia gives ½·0.2·(140² − 180²) = −1280 W; 5300 W at the shaft are 6198.8 W at the wheels.
 */
const hardBrakingDrag = 5300 / 0.855;

describe('driving', () => {
  it('at a steady 8 m/s divides by the efficiencies and burns what a hand computes', () => {
    const { step, state, view } = single({ from: 8, to: 8 });
    // 200 N · 8 m/s; second gear turns the engine at 160 rad/s.
    expect(step.wheel).toBe(1600);
    expect(step.engineWheel).toBe(1600);
    expect(step.gear).toBe(2);
    expect(step.engineSpeed).toBe(160);
    expectWithin(step.finalDriveLoss, 1600 / 0.95 - 1600, EXACT);
    expectWithin(step.gearboxLoss, 1600 / 0.95 / 0.9 - 1600 / 0.95 + 320, EXACT);
    expect(step.accessories).toBe(500);
    expectWithin(step.engineBrake, 1600 / 0.855 + 320 + 500, EXACT);
    // 21 128.36 W
    expectWithin(step.fuel, (1600 / 0.855 + 320 + 500 + 5760) / 0.4, EXACT);
    expect(step.rotating).toBe(0);
    expect(step.shiftLoss).toBe(0);
    expect(step.shortfall).toBe(0);
    expect(step.brakes).toBe(0);
    expect(state.engineSpeed).toBe(160);
    expect(view.engineDrag).toBe(0);
  });

  it('pays for the engine’s own rotation while the speed rises', () => {
    // 7.5 to 8.5 m/s: 150 to 170 rad/s, ½·0.2·(170² − 150²) = 640 W; wheels 1600 + 1100·8 W.
    const { step } = single({ from: 7.5, to: 8.5 });
    expect(step.wheel).toBe(10_400);
    expectWithin(step.rotating, 640, EXACT);
    expectWithin(step.fuel, (10_400 / 0.855 + 320 + 500 + 640 + 5760) / 0.4, EXACT);
  });

  it('launches through a slip loss of torque times slip speed', () => {
    // 0 to 1 m/s in 1 s: 200·0.5 + 1100·0.5 = 650 W; first gear turns at 20 rad/s, the engine at 100.
    const { step, state } = single({ from: 0, to: 1, state: { engineSpeed: 80 } });
    expect(step.wheel).toBe(650);
    const throughClutch = 650 / 0.855 + 2 * 20;
    const torque = throughClutch / 20;
    expectWithin(step.launchSlip, torque * (100 - 20), EXACT);
    // Idle to engagement speed: ½·0.2·(100² − 80²) = 360 W.
    expectWithin(step.rotating, 360, EXACT);
    expectWithin(step.engineBrake, torque * 100 + 500 + 360, EXACT);
    // Friction at 100 rad/s: 30 N m.
    expectWithin(step.fuel, (torque * 100 + 500 + 360 + 3000) / 0.4, EXACT);
    expect(step.engineSpeed).toBe(100);
    expect(state.engineSpeed).toBe(100);
  });

  it('has no slip loss once first gear turns the engine at its engagement speed', () => {
    // 2 to 3 m/s in first gear: 80 to 120 rad/s, 100 on average.
    const { step, state } = single({ from: 2, to: 3, state: { engineSpeed: 100 } });
    expect(step.gear).toBe(1);
    expect(step.launchSlip).toBe(0);
    // The engine waits at 100 rad/s for the gearbox, then goes with it.
    expectWithin(step.rotating, 0.1 * (120 ** 2 - 100 ** 2), EXACT);
    expect(state.engineSpeed).toBe(120);
  });

  it('books a fall of speed at a gear change as shift loss', () => {
    // 200 rad/s before, 160 after: ½·0.2·(200² − 160²) = 1440 J turn to heat.
    const { step } = single({ from: 8, to: 8, state: { engineSpeed: 200 } });
    expectWithin(step.shiftLoss, 1440, EXACT);
    expect(step.rotating).toBe(0);
    expectWithin(step.fuel, (1600 / 0.855 + 320 + 500 + 5760) / 0.4, EXACT);
  });

  it('pays for a rise of speed at a gear change at the engine’s shaft', () => {
    // 100 rad/s before, 160 after: ½·0.2·(160² − 100²) = 1560 J.
    const { step } = single({ from: 8, to: 8, state: { engineSpeed: 100 } });
    expect(step.shiftLoss).toBe(0);
    expectWithin(step.rotating, 1560, EXACT);
    expectWithin(step.fuel, (1600 / 0.855 + 320 + 500 + 1560 + 5760) / 0.4, EXACT);
  });

  it('spreads a jump over the interval it falls in, so that its energy is the same', () => {
    const long = single({ from: 8, to: 8, dt: 4, state: { engineSpeed: 100 } });
    expectWithin(long.step.rotating * 4, 1560, EXACT);
  });
});

describe('braking', () => {
  it('gives to the engine’s drag first, then to the store, then to the brakes', () => {
    const { step, view } = single({
      ...hardBraking,
      store: handStore,
      want: { storePower: -6000 },
    });
    expect(step.wheel).toBe(-16_000);
    expectWithin(view.engineDrag, hardBrakingDrag, EXACT);
    expectWithin(step.engineDrag, hardBrakingDrag, EXACT);
    expect(step.store).toBe(-6000);
    expectWithin(step.brakes, 16_000 - 6000 - hardBrakingDrag, EXACT);
    expect(step.fuel).toBe(0);
    expect(step.clutched).toBe(true);
  });

  it('leaves the store only what the engine’s drag has left', () => {
    const store = { ...handStore, powerLimit: 50_000 };
    const { step, view } = single({ ...hardBraking, store, want: { storePower: -16_000 } });
    expect(view.recoverLimit).toBe(16_000);
    expectWithin(step.store, hardBrakingDrag - 16_000, EXACT);
    expect(step.brakes).toBe(0);
    expectWithin(step.engineDrag, hardBrakingDrag, EXACT);
  });

  it('leaves the store everything once the engine is declutched, which then idles', () => {
    const store = { ...handStore, powerLimit: 50_000 };
    const { step, state } = single({
      ...hardBraking,
      store,
      want: { storePower: -16_000, clutched: false },
    });
    expect(step.store).toBe(-16_000);
    expect(step.engineDrag).toBe(0);
    expect(step.brakes).toBe(0);
    // Friction at 80 rad/s is 28 N m: 2240 W; from 180 rad/s the engine falls back to idle.
    expectWithin(step.fuel, (2240 + 500) / 0.4, EXACT);
    expectWithin(step.shiftLoss, 0.1 * (180 ** 2 - 80 ** 2), EXACT);
    expect(state.engineSpeed).toBe(80);
  });

  it('multiplies by the efficiencies on the way back to the engine', () => {
    const { step } = single(hardBraking);
    const atFinal = hardBrakingDrag * 0.95;
    expectWithin(step.finalDriveLoss, hardBrakingDrag - atFinal, EXACT);
    expectWithin(step.gearboxLoss, atFinal - atFinal * 0.9 + 320, EXACT);
    // With its fuel cut the engine takes its friction.
    expectWithin(step.engineBrake, -5760, EXACT);
  });

  it('burns a part of the fuel when the engine’s drag exceeds the braking, and brakes nothing', () => {
    // 8.4 to 7.6 m/s: 1600 − 1100·0.8·8 = −5440 W. From 168 to 152 rad/s inertia gives 512 W, so
    // cut fuel would take (5760 + 500 − 512 + 320)/0.855 = 7097 W: more than there is.
    const { step, view } = single({
      from: 8.4,
      to: 7.6,
      store: handStore,
      want: { storePower: -6000 },
    });
    expectWithin(step.wheel, -5440, EXACT);
    expectWithin(view.engineDrag, 6068 / 0.855, EXACT);
    expectWithin(step.engineDrag, 5440, EXACT);
    expect(step.store).toBe(0);
    expect(step.brakes).toBe(0);
    // −5440·0.855 + 320 + 500 − 512 = −4343.2 W at the shaft; 5760 W of friction: 3542 W of fuel.
    expectWithin(step.engineBrake, -5440 * 0.855 + 320 + 500 - 512, EXACT);
    expectWithin(step.fuel, 3542, EXACT);
  });

  it('of nothing at all, rolling free, leaves an engine in gear to carry itself', () => {
    const car = { ...handCar, roadLoad: { ...handCar.roadLoad, rolling: 0 } };
    const { step, view } = single({ from: 8, to: 8, car, store: handStore });
    expect(step.wheel).toBe(0);
    expect(view.assistLimit).toBe(0);
    expect(view.recoverLimit).toBe(6000);
    expect(view.engineLimit).toBe(0);
    expectWithin(view.engineDrag, (5760 + 500 + 320) / 0.855, EXACT);
    expect(step.clutched).toBe(true);
    expect(step.engineDrag).toBeCloseTo(0, 12);
    expect(step.store).toBe(0);
    expectWithin(step.fuel, (5760 + 500 + 320) / 0.4, EXACT);
  });

  it('cuts the fuel at the cut speed and not below it', () => {
    // Second gear: 6 m/s turn the engine at 120 rad/s, the speed of the cut.
    const at = single({ from: 7, to: 5, state: { engineSpeed: 140 } });
    expect(at.step.engineSpeed).toBe(120);
    expect(at.step.clutched).toBe(true);
    expect(at.step.fuel).toBe(0);
    // Friction 32 N m · 120 rad/s, alternator, gearbox, and inertia from 140 to 100 rad/s.
    expectWithin(at.step.engineDrag, (3840 + 500 + 240 - 960) / 0.855, EXACT);
    const below = single({ from: 6.999, to: 4.999, state: { engineSpeed: 139.98 } });
    expect(below.step.clutched).toBe(false);
    expect(below.step.engineDrag).toBe(0);
    expectWithin(below.step.fuel, (2240 + 500) / 0.4, EXACT);
    expectWithin(below.step.brakes, -below.step.wheel, EXACT);
  });

  it('lets the inertia of an engine that slows fast push the car, which its store may take', () => {
    // 17 to 1 m/s in 1 s, third gear: 90 rad/s on average. From 170 to 10 rad/s an inertia of
    // 1 kg m² gives ½·1·(10² − 170²) = −14 400 W; friction is 29 N m, the gearbox takes 180 W.
    const car = {
      ...handCar,
      engine: { ...handCar.engine, inertia: 1, cutSpeed: 80, idleSpeed: 5 },
    };
    const { step } = single({ from: 17, to: 1, car });
    const absorbed = 29 * 90 + 500 + 180 - 14_400;
    expect(absorbed).toBe(-11_110);
    expect(step.engineDrag).toBe(0);
    expectWithin(step.engineWheel, 11_110 * 0.855, EXACT);
    expectWithin(step.brakes, -step.wheel + 11_110 * 0.855, EXACT);
    expect(step.fuel).toBe(0);
    expectWithin(step.finalDriveLoss, 11_110 * 0.9 * 0.05, EXACT);
  });

  it('never leaves a running engine below its idle speed at the end of a coarse interval', () => {
    // 8 to 0 m/s within one interval: second gear, 80 rad/s on average; a cut at 70 rad/s.
    const car = { ...handCar, engine: { ...handCar.engine, cutSpeed: 70 } };
    const { step, state } = single({ from: 8, to: 0, dt: 4, car });
    expect(step.clutched).toBe(true);
    expect(state.engineOn).toBe(true);
    expect(state.engineSpeed).toBe(80);
    expectWithin(step.rotating, (0.1 * (80 ** 2 - 160 ** 2)) / 4, EXACT);
  });
});

describe('the limits of the engine', () => {
  /** 6 to 10 m/s in 1 s: 1600 + 1100·4·8 = 36 800 W, the engine from 120 to 200 rad/s. */
  const hard = { from: 6, to: 10 };
  /** 200 N m · 160 rad/s, less alternator, own rotation and gearbox drag, at the wheels. */
  const limit = (32_000 - 500 - 2560 - 320) * 0.855;

  it('are shown to the strategy and leave a shortfall, never hidden', () => {
    const { step, view } = single(hard);
    expect(step.wheel).toBe(36_800);
    expectWithin(view.engineLimit, limit, EXACT);
    expectWithin(step.engineWheel, limit, EXACT);
    expectWithin(step.shortfall, 36_800 - limit, EXACT);
    expectWithin(step.engineBrake, 32_000, EXACT);
  });

  it('are not lowered by the leap of a gear change, however short the interval', () => {
    // From 100 to 160 rad/s in a millisecond would take 1.56 MW; the leap is paid in fuel alone.
    const { view, step } = single({ from: 8, to: 8, dt: 1e-3, state: { engineSpeed: 100 } });
    expectWithin(view.engineLimit, (32_000 - 500 - 320) * 0.855, EXACT);
    expect(step.shortfall).toBe(0);
    expectWithin(step.engineWheel, 1600, EXACT);
    expectWithin(step.fuel, (1600 / 0.855 + 320 + 500 + 5760 + 1560 / 1e-3) / 0.4, EXACT);
  });

  it('leave the store to cover what it can when the strategy asks for it', () => {
    const { step } = single({ ...hard, store: handStore, want: { storePower: 6000 } });
    expectWithin(step.engineWheel, limit, EXACT);
    expectWithin(step.shortfall, 36_800 - 6000 - limit, EXACT);
    expect(LIMITS[step.limit]).toBe('power');
  });

  it('leave no shortfall, not even rounding, when the store covers exactly what is lacking', () => {
    const store = { ...handStore, powerLimit: 50_000 };
    for (let k = 0; k < 200; k++) {
      const drive = { from: 6, to: 10 + k / 300, store };
      const { view } = single(drive);
      const storePower = view.wheelPower - view.engineLimit;
      const { step } = single({ ...drive, want: { storePower } });
      expect(step.shortfall, `${k}`).toBe(0);
      expectWithin(step.engineWheel, view.engineLimit, EXACT);
    }
  });

  it('leave no shortfall when the engine charges the store with all it has to spare', () => {
    const store = { ...handStore, powerLimit: 50_000 };
    for (let k = 0; k < 200; k++) {
      const drive = { from: 8, to: 8 + k / 300, store };
      const { view } = single(drive);
      const { step } = single({ ...drive, want: { storePower: -view.recoverLimit } });
      expect(step.store).toBe(-view.recoverLimit);
      expect(step.shortfall, `${k}`).toBe(0);
    }
  });

  it('scale with the slip at launch, where torque passes and power does not', () => {
    // 0 to 1 m/s: 20 of 100 rad/s. Full torque 200 N m less 500 W at 100 rad/s.
    const { view } = single({ from: 0, to: 1, state: { engineSpeed: 80 } });
    expectWithin(view.engineLimit, ((20_000 - 500) * 0.2 - 40) * 0.855, EXACT);
  });
});

describe('missed recovery', () => {
  const { rotor } = handStore;
  const cases: readonly { name: string; limit: string; store: Store; possible: number }[] = [
    { name: 'power', limit: 'power', store: handStore, possible: 6000 },
    {
      // 100 N m at 32 rad/s of the axle
      name: 'axle torque',
      limit: 'torque',
      store: { ...handStore, axleTorqueLimit: 100 },
      possible: 3200,
    },
    {
      name: 'the share of the braking force',
      limit: 'brake_share',
      store: { ...handStore, brakeShareLimit: 0.25 },
      possible: 4000,
    },
    {
      name: 'hard braking',
      limit: 'hard_braking',
      store: { ...handStore, frictionOnlyAbove: 1.99 },
      possible: 0,
    },
    {
      name: 'a full store',
      limit: 'full',
      store: { ...handStore, initialSpeed: rotor.maxSpeed },
      possible: 0,
    },
    {
      // The rotor turns at 2000 rad/s, the axle at 32: the ratio 62.5 lies above the range.
      name: 'the ratio range',
      limit: 'ratio',
      store: { ...handStore, transmission: { type: 'variator', low: 10, high: 60 } },
      possible: 0,
    },
    {
      // Front axle: 1000·9.80665·½ + 1000·2·0.2 = 5303.325 N of load, of which a tenth, at 8 m/s.
      name: 'adhesion',
      limit: 'adhesion',
      store: { ...handStore, adhesionLimit: 0.1 },
      possible: 5303.325 * 0.1 * 8,
    },
  ];

  function expectSplit({ step }: Outcome): void {
    const split = step.missedToDrag + step.missedByLimit + step.missedByStrategy;
    expectWithin(split - step.store, -step.wheel, EXACT);
  }

  it.each(cases)('by $name is booked under its name, and adds up', ({ limit, store, possible }) => {
    const seen = single({ ...hardBraking, store }).view;
    expectWithin(seen.recoverLimit, possible, EXACT);
    const outcome = single({ ...hardBraking, store, want: { storePower: -seen.recoverLimit } });
    const { step } = outcome;
    expectWithin(step.missedToDrag, hardBrakingDrag, EXACT);
    expectWithin(step.missedByLimit, 16_000 - hardBrakingDrag - possible, EXACT);
    expectWithin(step.missedByStrategy, 0, EXACT);
    expect(LIMITS[step.recoverLimit]).toBe(limit);
    expect(LIMITS[step.limit]).toBe(limit);
    expectSplit(outcome);
  });

  it('by the strategy is what it could have had and did not want', () => {
    const outcome = single({ ...hardBraking, store: handStore, want: { storePower: -1500 } });
    expectWithin(outcome.step.missedByStrategy, 4500, EXACT);
    expectWithin(outcome.step.missedByLimit, 10_000 - hardBrakingDrag, EXACT);
    expectSplit(outcome);
  });

  it('by the strategy alone bears its name as the limit that bit', () => {
    const store = { ...handStore, powerLimit: 50_000 };
    const outcome = single({ ...hardBraking, store, want: { storePower: -1500 } });
    expect(outcome.step.missedByLimit).toBe(0);
    expect(LIMITS[outcome.step.limit]).toBe('strategy');
    expectSplit(outcome);
  });

  it('to the engine’s drag alone bears its name', () => {
    const store = { ...handStore, powerLimit: 50_000 };
    const outcome = single({ ...hardBraking, store, want: { storePower: -16_000 } });
    expect(LIMITS[outcome.step.limit]).toBe('engine_drag');
    expectSplit(outcome);
  });

  it('by the spin loss is braking too weak to drag the transmission along', () => {
    // 8.109375 to 7.890625 m/s: 1600 − 1100·0.21875·8 = −325 W. Spin loss: 12 N m · 32 rad/s = 384 W.
    const store: Store = {
      ...handStore,
      losses: { form: 'model', share: 0.1, shareGrowth: 0, bestRatio: 60, spinTorque: 12 },
    };
    const outcome = single({
      from: 8.109375,
      to: 7.890625,
      store,
      want: { storePower: -325, clutched: false },
    });
    const { step, view } = outcome;
    expect(step.wheel).toBe(-325);
    expect(view.recoverLimit).toBe(0);
    expect(step.store).toBe(0);
    expect(step.brakes).toBe(325);
    expect(step.missedByLimit).toBe(325);
    expect(LIMITS[step.recoverLimit]).toBe('spin_loss');
    expect(step.storeTransmissionLoss).toBe(0);
    expectSplit(outcome);
  });

  it('is the strategy’s own when it wants less than the spin loss of what it could have had', () => {
    const store: Store = {
      ...handStore,
      losses: { form: 'model', share: 0.1, shareGrowth: 0, bestRatio: 60, spinTorque: 12 },
    };
    const outcome = single({ ...hardBraking, store, want: { storePower: -400 } });
    expect(outcome.step.store).toBe(0);
    expectWithin(outcome.step.missedByStrategy, 6000, EXACT);
    expectSplit(outcome);
  });

  it('is not booked at all in a car without a store', () => {
    const { step } = single(hardBraking);
    expect(step.missedToDrag + step.missedByLimit + step.missedByStrategy).toBe(0);
  });
});
