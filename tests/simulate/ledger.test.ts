import { describe, expect, it } from 'vitest';
import { DefectError } from '../../src/config/problem.ts';
import { traceFromSamples } from '../../src/cycle/samples.ts';
import type { Trace } from '../../src/cycle/trace.ts';
import { LIMIT } from '../../src/physics/limit.ts';
import type { Store } from '../../src/physics/store.ts';
import { type Car, fitStore } from '../../src/simulate/car.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { CLOSURE_LIMIT, Ledger } from '../../src/simulate/ledger.ts';
import { type Run, run } from '../../src/simulate/run.ts';
import { initialState } from '../../src/simulate/state.ts';
import type { Step } from '../../src/simulate/step.ts';
import { combine } from '../../src/strategy/combine.ts';
import type { Strategy } from '../../src/strategy/contract.ts';
import { randomDrive, roadsOf } from '../cycle/drives.ts';
import { plainCar, plainStore } from '../fixtures.ts';
import { seeded } from '../seeded.ts';
import { Worst } from '../within.ts';
import {
  anyBehaviours,
  anyCar,
  anyStore,
  anythingAllowed,
  stopAndGo,
  unevenDrive,
} from './drives.ts';

interface Subject {
  readonly car: Car;
  readonly store: Store | undefined;
  readonly trace: Trace;
  readonly strategy: Strategy;
}

function drive(subject: Subject, watch?: (step: Readonly<Step>) => void): Run {
  const { car, store, trace, strategy } = subject;
  const demand = new Demand(car, store, trace);
  return run(car, store, demand, strategy, initialState(car, store), watch);
}

/** Any car, any store or none, any strategy, on a drive that a car could do or on a wild one. */
function anySubject(seed: number): Subject {
  const random = seeded(seed);
  const bare = anyCar(random);
  const store = random() < 0.9 ? anyStore(random) : undefined;
  const car = store === undefined ? bare : fitStore(bare, store);
  const wild = () => roadsOf(randomDrive(random))[Math.floor(3 * random())]!;
  const trace = random() < 0.6 ? unevenDrive(random) : traceFromSamples(wild());
  const strategy = random() < 0.5 ? anyBehaviours(random) : anythingAllowed(random);
  return { car, store, trace, strategy };
}

const SUBJECTS = 600;

/** Lines of a step that hold a power. */
type Line = {
  [Key in keyof Step]: Step[Key] extends number ? Key : never;
}[keyof Step];

describe('the ledger of any car, store, strategy and drive', () => {
  it('closes at every node, with no line of the wrong sign', () => {
    const worst = new Worst();
    const seen = new Set<string>();
    for (let seed = 1; seed <= SUBJECTS; seed++) {
      const subject = anySubject(seed);
      // A run that does not close throws, so its own word is checked against the limit as well.
      const { closure } = drive(subject);
      worst.see(closure, () => `seed ${seed}`);
      seen.add(subject.car.roadLoad.wind === 0 ? 'calm' : 'wind');
      seen.add(subject.car.engine.fuelUse.form);
      seen.add(subject.car.gearbox.choice.by);
      seen.add(subject.car.gearbox.launch.device);
      seen.add(subject.store?.transmission.type ?? 'no store');
      seen.add(`${subject.store?.losses.form ?? 'no'} losses`);
      seen.add(`${subject.store?.rotor.drag.form ?? 'no'} drag`);
      seen.add(subject.strategy.name);
      seen.add(subject.store?.initialSpeed === 0 ? 'at rest' : 'turning');
    }
    worst.expectAtMost(CLOSURE_LIMIT);
    expect(CLOSURE_LIMIT).toBe(1e-9);
    expect([...seen].sort()).toEqual(
      [
        'affine',
        'any behaviours',
        'anything allowed',
        'at rest',
        'calm',
        'clutch',
        'coefficients drag',
        'converter',
        'curve drag',
        'efficiency losses',
        'function',
        'ideal',
        'least-fuel',
        'model losses',
        'no drag',
        'no losses',
        'no store',
        'stepped',
        'table',
        'table losses',
        'thresholds',
        'turning',
        'variator',
        'wind',
      ].sort(),
    );
  });

  it('closes in every single interval too, by sums of its own', () => {
    const worst = new Worst();
    for (let seed = 1; seed <= 150; seed++) {
      const subject = anySubject(10_000 + seed);
      const { store } = subject;
      let rotor = store?.initialSpeed ?? 0;
      let debt = 0;
      drive(subject, (step) => {
        const at = () => `seed ${10_000 + seed} at ${step.time} s`;
        const off = (moved: readonly number[], sum: number) => {
          const most = moved.reduce((total, value) => total + Math.abs(value), 1e-6);
          worst.see(Math.abs(sum) / most, at);
        };
        off(
          [step.aerodynamic, step.rolling, step.grade, step.kinetic],
          step.aerodynamic + step.rolling + step.grade + step.kinetic - step.wheel,
        );
        off(
          [step.wheel, step.store, step.brakes],
          step.engineWheel +
            step.store -
            step.brakes -
            step.engineDrag +
            step.shortfall -
            step.wheel,
        );
        // Shaft work of the engine and its way to the wheels
        off(
          [step.engineBrake, step.rotating, step.engineDrag],
          step.engineBrake +
            step.engineDrag -
            step.accessories -
            step.rotating -
            step.launchSlip -
            step.gearboxLoss -
            step.finalDriveLoss -
            step.engineWheel,
        );
        if (store !== undefined) {
          const change =
            (0.5 * store.rotor.inertia * (step.rotorSpeed ** 2 - rotor ** 2)) / step.dt;
          rotor = step.rotorSpeed;
          // The rotor's energy is a difference of large squares: it rounds with what it holds.
          const held = (0.5 * store.rotor.inertia * rotor ** 2) / step.dt;
          off(
            [step.store, held],
            step.store +
              step.storeTransmissionLoss +
              step.storeSlipLoss +
              step.storeDragLoss +
              change,
          );
        }
        off([step.batteryDebt / step.dt], (step.batteryDebt - debt) / step.dt - step.debtChange);
        debt = step.batteryDebt;
        off(
          [step.accessories, step.debtChange],
          step.accessories +
            step.debtChange -
            step.electricLoad -
            step.starter -
            step.alternatorLoss -
            step.batteryLoss,
        );
      });
    }
    worst.expectAtMost(1e-11);
  });

  it('splits the braking that the store did not take without a remainder', () => {
    const worst = new Worst();
    let braked = 0;
    for (let seed = 1; seed <= 200; seed++) {
      const subject = anySubject(20_000 + seed);
      if (subject.store === undefined) continue;
      let push = 0;
      const { ledger } = drive(subject, (step) => {
        if (step.wheel <= 0) push += step.engineWheel * step.dt;
      });
      const missed = ledger.missed.reduce((total, value) => total + value, 0);
      const toTake = ledger.braking + push;
      worst.see(
        Math.abs(missed + ledger.recoveredBraking - toTake) / toTake,
        () => `seed ${20_000 + seed}`,
      );
      expect(Math.min(...ledger.missed), `seed ${20_000 + seed}`).toBeGreaterThanOrEqual(0);
      // Nothing is ever missed without a name.
      expect(ledger.missed[LIMIT.none]).toBe(0);
      braked += ledger.recoveredBraking;
    }
    worst.expectAtMost(1e-12);
    expect(braked).toBeGreaterThan(0);
  });

  it('lets the engine that is off burn nothing, and none that is on be free', () => {
    for (let seed = 1; seed <= 100; seed++) {
      const subject = anySubject(30_000 + seed);
      drive(subject, (step) => {
        if (!step.engineOn) {
          expect(step.fuel).toBe(0);
          expect(step.engineWheel).toBe(0);
          expect(step.accessories).toBe(0);
          expect(step.debtChange).toBeGreaterThanOrEqual(step.electricLoad);
        } else if (!step.clutched) {
          expect(step.fuel).toBeGreaterThan(0);
          expect(step.engineWheel).toBe(0);
        }
        expect(step.fuel).toBeGreaterThanOrEqual(0);
      });
    }
  });
});

describe('a rotor whose drag is next to nothing', () => {
  it.each([1e-4, 1e-6, 1e-8, 1e-12])(
    'of %d N m is no defect, though it rounds with all it holds',
    (c0) => {
      const { rotor } = plainStore;
      const store: Store = {
        ...plainStore,
        rotor: { ...rotor, drag: { form: 'coefficients', c0, c1: 0, c2: 0 } },
        initialSpeed: rotor.maxSpeed,
      };
      const car = fitStore(plainCar, store);
      const strategy = combine('never uses it', {});
      const { ledger } = drive({ car, store, trace: stopAndGo(20), strategy });
      // Torque times the angle turned
      const turned = rotor.maxSpeed * ledger.duration;
      expect(ledger.storeDragLoss).toBeGreaterThan(0.9 * c0 * turned);
      expect(ledger.storeDragLoss).toBeLessThanOrEqual(c0 * turned);
    },
  );
});

describe('the checks of a ledger', () => {
  const store: Store = { ...plainStore, initialSpeed: 0.7 * plainStore.rotor.maxSpeed };
  const car = fitStore(plainCar, store);
  const steps: Step[] = [];
  const strategy = combine('all', {
    stopStart: { delay: 0 },
    recover: { share: 0.5, minPower: 0 },
    assist: {
      launchBelow: 8,
      accelerationAbove: 0.8,
      share: 0.5,
      floor: 0.1,
      coverShortfall: false,
    },
  });
  const done = drive({ car, store, trace: stopAndGo(3), strategy }, (step) => {
    steps.push({ ...step });
  });

  /** Adds the same steps up again, one of them tampered with, and closes. */
  function closeWith(which: (step: Step) => boolean, tamper: (step: Step) => void): number {
    const ledger = new Ledger();
    const at = steps.findIndex(which);
    expect(at).toBeGreaterThanOrEqual(0);
    steps.forEach((step, k) => {
      const copy = { ...step };
      if (k === at) tamper(copy);
      ledger.add(copy, car.engine.maxSpeed);
    });
    return ledger.close(done.start, done.end, car.engine.inertia, store.rotor.inertia);
  }

  const driving = (step: Step) => step.wheel > 1000 && step.clutched;
  const braking = (step: Step) => step.clutched && step.brakes > 100 && step.engineDrag > 0;

  it('pass the run as it was', () => {
    expect(closeWith(driving, () => {})).toBe(done.closure);
  });

  it.each<[string, Line]>([
    ['fuel', 'launchSlip'],
    ['fuel', 'gearboxLoss'],
    ['fuel', 'shiftLoss'],
    ['rotating', 'rotating'],
    ['fuel', 'engineBrake'],
    ['fuel', 'starterWork'],
    ['wheel', 'rolling'],
    ['wheel', 'shortfall'],
    ['store', 'storeSlipLoss'],
    ['store', 'storeDragLoss'],
    ['electric', 'electricLoad'],
    ['electric', 'batteryLoss'],
  ])('find one watt too many in the %s node by its %s', (node, line) => {
    const tamper = (step: Step) => {
      step[line] += 1;
    };
    expect(() => closeWith(driving, tamper)).toThrow(DefectError);
    expect(() => closeWith(driving, tamper)).toThrow(`the ${node} ledger does not close`);
  });

  it('find braking energy that went nowhere', () => {
    // The demand itself is in no node but this one.
    const tamper = (step: Step) => {
      step.wheel -= 1;
    };
    expect(() => closeWith(braking, tamper)).toThrow('the braking ledger does not close');
  });

  it('find an end that does not follow from the steps', () => {
    const ledger = new Ledger();
    for (const step of steps) ledger.add(step, car.engine.maxSpeed);
    const { inertia } = car.engine;
    const close = (end: Partial<typeof done.end>) =>
      ledger.close(done.start, { ...done.end, ...end }, inertia, store.rotor.inertia);
    expect(() => close({ rotorSpeed: done.end.rotorSpeed + 0.1 })).toThrow(/^the store ledger/);
    expect(() => close({ batteryDebt: done.end.batteryDebt + 1 })).toThrow(/^the electric ledger/);
    expect(() => close({ engineSpeed: done.end.engineSpeed + 1 })).toThrow(/^the fuel ledger/);
    expect(close({})).toBe(done.closure);
  });

  it.each<keyof Step>([
    'fuel',
    'wheel',
    'rolling',
    'store',
    'storeDragLoss',
    'electricLoad',
    'brakes',
  ])('find a %s that is not a number', (key) => {
    const tamper = (step: Step) => void Object.assign(step, { [key]: Number.NaN });
    expect(() => closeWith(braking, tamper)).toThrow(DefectError);
  });

  it.each(['brakes', 'store'] as const)(
    'find fuel burned by a clutched engine against its %s',
    (what) => {
      const against = (step: Step) =>
        step.clutched && step.wheel < 0 && (what === 'brakes' ? step.brakes > 0 : step.store < 0);
      // Fuel and heat rise together, so that every sum is right.
      const tamper = (step: Step) => {
        step.fuel += 1;
      };
      expect(() => closeWith(against, tamper)).toThrow(
        '1 J of fuel were burned by a clutched engine against brakes or store',
      );
    },
  );

  /** Sets a line below zero and gives what it held to another line. */
  function move(step: Step, from: Line, to: Line, side: 1 | -1 = 1): void {
    const moved = step[from] + 10;
    step[from] = -10;
    step[to] += side * moved;
  }

  it.each<[string, (step: Step) => void]>([
    [
      'friction brakes',
      (step) => {
        move(step, 'brakes', 'store', -1);
        step.storeTransmissionLoss -= step.store;
      },
    ],
    [
      'engine drag',
      (step) => {
        const drag = step.engineDrag;
        move(step, 'engineDrag', 'brakes');
        step.engineBrake += drag + 10;
      },
    ],
    [
      'accessories',
      (step) => {
        move(step, 'accessories', 'launchSlip');
        step.electricLoad -= step.launchSlip;
      },
    ],
    ['launch slip', (step) => move(step, 'launchSlip', 'gearboxLoss')],
    ['gearbox loss', (step) => move(step, 'gearboxLoss', 'launchSlip')],
    ['final drive loss', (step) => move(step, 'finalDriveLoss', 'launchSlip')],
    [
      'shift loss',
      (step) => {
        step.rotating -= step.shiftLoss + 10;
        move(step, 'shiftLoss', 'launchSlip');
      },
    ],
    ['store slip', (step) => move(step, 'storeSlipLoss', 'storeDragLoss')],
    ['store transmission loss', (step) => move(step, 'storeTransmissionLoss', 'storeDragLoss')],
    ['rotor drag', (step) => move(step, 'storeDragLoss', 'storeSlipLoss')],
    ['alternator loss', (step) => move(step, 'alternatorLoss', 'electricLoad')],
    ['battery loss', (step) => move(step, 'batteryLoss', 'electricLoad')],
  ])('find a %s that gives, though every sum is right', (line, tamper) => {
    const braked = (step: Step) => braking(step) && step.store === 0;
    expect(() => closeWith(braked, tamper)).toThrow(`${line} is negative: -10 W`);
  });

  it.each<[string, Line, Line, 1 | -1]>([
    ['shortfall', 'shortfall', 'engineWheel', -1],
    ['engine at the wheels', 'engineWheel', 'shortfall', 1],
  ])('find a negative %s, though every sum is right', (line, from, to, side) => {
    const tamper = (step: Step) => {
      const moved = step[from] + 10;
      move(step, from, to);
      step.engineBrake -= side * moved;
    };
    expect(() => closeWith(driving, tamper)).toThrow(`${line} is negative: -10 W`);
  });
});
