import { describe, expect, it } from 'vitest';
import type { Trace } from '../../src/cycle/trace.ts';
import type { Store } from '../../src/physics/store.ts';
import { type Case, replay, runCase } from '../../src/simulate/case.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { run } from '../../src/simulate/run.ts';
import { initialState } from '../../src/simulate/state.ts';
import { newStep } from '../../src/simulate/step.ts';
import { totalFuel } from '../../src/simulate/total-fuel.ts';
import { combine } from '../../src/strategy/combine.ts';
import { cycleNamed, plainCar, plainStore } from '../fixtures.ts';
import { seeded } from '../seeded.ts';
import { expectWithin } from '../within.ts';
import { anyCar, stopAndGo, unevenDrive } from './drives.ts';

const all = () =>
  combine('all', {
    stopStart: { delay: 0 },
    coast: { floor: 0.05, maxSpeed: 40 },
    recover: { share: 1, minPower: 0 },
    assist: {
      launchBelow: 8,
      accelerationAbove: 0.8,
      share: 0.5,
      floor: 0.1,
      coverShortfall: true,
    },
  });

const never = () => combine('never used', {});

function subject(change: Partial<Case> = {}): Case {
  return { car: plainCar, store: plainStore, makeStrategy: all, trace: stopAndGo(6), ...change };
}

/** Weighs nothing, draws nothing, does not turn. */
const nothing: Store = { ...plainStore, mass: 0, auxiliaryPower: 0, initialSpeed: 0 };

describe('the references of a case', () => {
  it('are the car without the store, its mass, its drag and its electrical load', () => {
    const { baseline, stopStart } = runCase(subject());
    for (const { ledger } of [baseline.run, stopStart.run]) {
      expect(ledger.assisted + ledger.recoveredBraking + ledger.storeDragLoss).toBe(0);
      expect(ledger.storeChange).toBe(0);
      expect(ledger.missed.every((energy) => energy === 0)).toBe(true);
      expectWithin(ledger.electricLoad, 350 * ledger.duration, 1e-12);
      // 1700 kg, not 1760
      expectWithin(ledger.rolling, plainCar.roadLoad.rolling * ledger.distance, 1e-12);
    }
  });

  it('do not depend on the store or the strategy', () => {
    const heavy = { ...plainStore, mass: 300, auxiliaryPower: 500 };
    const a = runCase(subject());
    const b = runCase(subject({ store: heavy, makeStrategy: never }));
    expect(b.baseline).toEqual(a.baseline);
    expect(b.stopStart).toEqual(a.stopStart);
  });

  it('are two runs of their own: as it is, and with stop-start', () => {
    const trace = stopAndGo(6);
    const { baseline, stopStart } = runCase(subject({ trace }));
    const demand = new Demand(plainCar, undefined, trace);
    const start = initialState(plainCar, undefined);
    const plain = run(plainCar, undefined, demand, combine('as it is', {}), start);
    expect(baseline.run).toEqual(plain);
    expect(baseline.fuel).toBe(totalFuel(plainCar, plain));
    expect(baseline.run.ledger.engineOnTime).toBe(baseline.run.ledger.duration);
    const stopping = combine('stop-start', { stopStart: { delay: 0 } });
    const stopped = run(plainCar, undefined, demand, stopping, start);
    expect(stopStart.run).toEqual(stopped);
    expect(stopStart.fuel).toBe(totalFuel(plainCar, stopped));
    expect(stopStart.run.ledger.engineStarts).toBe(5);
    expect(stopStart.run.ledger.engineOnTime).toBe(stopStart.run.ledger.duration - 6 * 20);
    expect(stopStart.run.ledger.engineOffDriving).toBe(0);
  });

  it('burn no more with stop-start than without on stop-and-go traffic, debt and starts included', () => {
    for (const standing of [15, 30, 60]) {
      const { baseline, stopStart } = runCase(subject({ trace: stopAndGo(6, standing) }));
      expect(stopStart.fuel).toBeLessThan(baseline.fuel);
    }
    // And the longer the stops the larger the gain, in proportion to the time saved.
    const gain = (standing: number) => {
      const { baseline, stopStart } = runCase(subject({ trace: stopAndGo(1, standing) }));
      return baseline.fuel - stopStart.fuel;
    };
    const [short, middle, long] = [20, 60, 100].map(gain) as [number, number, number];
    expectWithin(long - middle, middle - short, 1e-9);
  });
});

describe('a store without effect', () => {
  it.each(['nedc', 'udds', 'wltc-class3b', 'nycc'])(
    'on %s gives exactly the fuel of the baseline',
    (name) => {
      const result = runCase(
        subject({ store: nothing, makeStrategy: never, trace: cycleNamed(name) }),
      );
      expect(result.withStore.fuel).toBe(result.baseline.fuel);
      expect(result.withStore.balance).toEqual({ method: 'repetition', laps: 1, residual: 0 });
    },
  );

  it('gives it for any car on any drive', () => {
    const random = seeded(21);
    for (let k = 0; k < 60; k++) {
      const car = anyCar(random);
      const trace = unevenDrive(random);
      const result = runCase({ car, store: nothing, makeStrategy: never, trace });
      expect(result.withStore.fuel).toBe(result.baseline.fuel);
    }
  });

  it('costs its mass, its load and its drag, each by itself, once it has them', () => {
    const trace = cycleNamed('udds');
    const fuel = (change: Partial<Store>) =>
      runCase(subject({ store: { ...nothing, ...change }, makeStrategy: never, trace })).withStore
        .fuel;
    const base = fuel({});
    const mass = fuel({ mass: 60 }) - base;
    const load = fuel({ auxiliaryPower: 50 }) - base;
    expect(mass).toBeGreaterThan(0);
    // 50 W through alternator and engine, but none while the fuel is cut.
    const demand = new Demand(plainCar, undefined, trace);
    let burning = 0;
    run(plainCar, undefined, demand, never(), initialState(plainCar, undefined), (step) => {
      if (step.fuel > 0) burning += step.dt;
    });
    expect(load).toBeGreaterThan((50 / 0.65 / 0.44) * burning * 0.999);
    expect(load).toBeLessThan((50 / 0.65 / 0.44) * burning * 1.01);
  });
});

describe('a case', () => {
  it('fits the store’s mass and load to the car that has it', () => {
    const { fittedCar, withStore } = runCase(subject());
    expect(fittedCar.mass).toBe(1760);
    expect(fittedCar.electrics.load).toBe(400);
    const { ledger } = withStore.run;
    expectWithin(ledger.electricLoad, 400 * ledger.duration, 1e-12);
  });

  it('of a useful store saves fuel in stop-and-go traffic', () => {
    const { withStore, stopStart, fittedCar } = runCase(subject());
    // The lap that is shown is near to what counts, however that came to be balanced.
    expectWithin(totalFuel(fittedCar, withStore.run), withStore.fuel, 2e-3);
    expect(withStore.fuel).toBeLessThan(0.95 * stopStart.fuel);
  });

  it('is given the same by two runs', () => {
    expect(runCase(subject())).toEqual(runCase(subject()));
  });

  it('is refused a log when its strategy does not answer twice alike', () => {
    const random = seeded(7);
    const given = subject({
      makeStrategy: () => ({
        name: 'by chance',
        decide(see, want) {
          if (see.stopAllowed) want.engineOn = random() < 0.5;
        },
      }),
    });
    const result = runCase(given);
    expect(() => replay(given, result, () => {})).toThrow(/same answers/);
  });

  it('can be replayed: the lap that counts, step for step', () => {
    const given = subject();
    const result = runCase(given);
    const keys = Object.keys(newStep());
    let fuel = 0;
    let intervals = 0;
    let rotor = 0;
    replay(given, result, (step) => {
      expect(Object.keys(step)).toEqual(keys);
      fuel += step.fuel * step.dt;
      rotor = step.rotorSpeed;
      intervals++;
    });
    const { run: lap } = result.withStore;
    expect(intervals).toBe(given.trace.speed.length - 1);
    expect(fuel).toBe(lap.ledger.fuel);
    expect(rotor).toBe(lap.end.rotorSpeed);
  });

  it('asks for a strategy of its own for each lap', () => {
    let makers = 0;
    const trace: Trace = stopAndGo(2);
    const result = runCase(
      subject({
        trace,
        makeStrategy: () => {
          makers++;
          return all();
        },
      }),
    );
    expect(makers).toBe(result.withStore.balance.laps);
  });
});
