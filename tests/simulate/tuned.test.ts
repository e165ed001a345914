import { describe, expect, it } from 'vitest';
import { traceFromSamples } from '../../src/cycle/samples.ts';
import type { Trace } from '../../src/cycle/trace.ts';
import { GRAVITY } from '../../src/physics/air.ts';
import { Curve } from '../../src/physics/curve.ts';
import { rotorEnergy, rotorSpeed } from '../../src/physics/rotor.ts';
import { type Store, usableEnergy } from '../../src/physics/store.ts';
import { runBalanced } from '../../src/simulate/balance.ts';
import { type Car, fitStore } from '../../src/simulate/car.ts';
import { replay, runCase } from '../../src/simulate/case.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { CLOSURE_LIMIT } from '../../src/simulate/ledger.ts';
import { run } from '../../src/simulate/run.ts';
import { initialState } from '../../src/simulate/state.ts';
import { runTuned } from '../../src/simulate/tuned.ts';
import { combine } from '../../src/strategy/combine.ts';
import { type LeastCostParameters, leastCost } from '../../src/strategy/least-cost.ts';
import { cycleNamed, plainCar, plainStore } from '../fixtures.ts';
import { between, seeded } from '../seeded.ts';
import { expectWithin, Worst } from '../within.ts';
import { anyCar, anyStore, handCar, handStore, stopAndGo, unevenDrive } from './drives.ts';

const parameters: LeastCostParameters = {
  factor: 'search',
  startPrice: 0,
  startHorizon: 2,
  stopHorizon: 15,
};

const withFactor = (factor: number | 'search', change: Partial<LeastCostParameters> = {}) =>
  leastCost('least cost', { ...parameters, factor, ...change });

/** A car without anything that costs fuel whether it works or not; its engine never stops. */
const effortless: Car = {
  ...handCar,
  gearbox: {
    ...handCar.gearbox,
    dragTorque: 0,
    launch: { device: 'clutch', engagementSpeed: 1e-3, creepTorque: 0 },
  },
  engine: {
    ...handCar.engine,
    inertia: 0,
    frictionPressure0: 0,
    frictionPressure1: 0,
    warmUp: { extra: 0, timeConstant: 1, noStopBefore: 1e9 },
  },
  electrics: { ...handCar.electrics, load: 0 },
};

/** A store without losses that begins half full. */
function lossless(powerLimit: number): Store {
  const { rotor } = handStore;
  const middle = 0.5 * (rotorEnergy(rotor, rotor.minSpeed) + rotorEnergy(rotor, rotor.maxSpeed));
  return {
    ...handStore,
    rotor: { ...rotor, inertia: 1 },
    losses: { form: 'efficiency', share: 0 },
    powerLimit,
    initialSpeed: rotorSpeed(rotor, middle),
  };
}

/** At a steady 20 m/s, up a slope for 10 s, where a rolling force of 1 kN makes 30 kW, and down it, 10 kW. */
function steps(rounds: number): Trace {
  const time: number[] = [];
  const grade: number[] = [];
  for (let k = 0; k <= 20 * rounds; k++) {
    time.push(k);
    grade.push(0);
  }
  const level = traceFromSamples({
    name: 'steps',
    time: Float64Array.from(time),
    speed: new Float64Array(time.length).fill(20),
  });
  // 1000 N of rolling take 20 kW; the slope adds or takes 10 kW.
  const climb = level.climb.map((_, k) => {
    const rise = 10_000 / (handCar.mass * GRAVITY);
    return k % 20 < 10 ? rise : -rise;
  });
  return { ...level, climb };
}

describe('a factor that is searched where the least fuel is known', () => {
  /** Fuel of 1 + 2 P + 0.05 P² kW for P kW at the wheels, since nothing is lost on the way. */
  const curved: Car = {
    ...effortless,
    roadLoad: { ...handCar.roadLoad, rolling: 1000 },
    gearbox: {
      ...effortless.gearbox,
      efficiency: new Float64Array(3).fill(1),
      finalDriveEfficiency: 1,
    },
    engine: {
      ...effortless.engine,
      fuelUse: {
        form: 'function',
        fuelPower: (_speed, brake) => 1000 + 2 * brake + (0.05 / 1000) * brake * brake,
      },
    },
  };

  /**
   * The demand is 10 and 30 kW for equal times. Without a store the fuel is
   * 1 + 2 · 20 + 0.05 · (100 + 900)/2 = 66 kW in the mean. With one it is least where the engine gives
   * 20 kW throughout: 1 + 40 + 0.05 · 400 = 61 kW, and a joule is worth 2 + 2 · 0.05 · 20 = 4 J.
   * Where the store is held to 2.5 kW: 1 + 40 + 0.05 · (12.5² + 27.5²)/2 = 63.8125 kW.
   * Computed here from elementary formulas.
   */
  it.each([
    [10_000, 61_000],
    [2500, 63_812.5],
  ])('levels the load of an engine of rising cost, with at most %d W', (limit, least) => {
    const store = lossless(limit);
    const trace = steps(6);
    const demand = new Demand(curved, store, trace);
    const {
      fuel,
      run: lap,
      found,
      balance,
    } = runTuned(curved, store, demand, withFactor('search'));
    expect(balance.method).toBe('repetition');
    expectWithin(fuel / lap.ledger.duration, least, 0.02);
    expect(fuel / lap.ledger.duration).toBeGreaterThan(least * (1 - 1e-6));
    expect(found?.tried).toBeGreaterThan(29);
    if (limit === 10_000) expectWithin(found?.numbers[0]?.value ?? 0, 4, 0.07);
  });

  /**
   * With an affine engine and constant efficiencies every joule at the wheels costs the same, so that
   * least fuel is to take all braking that the store's power permits and to give all of it back,
   * 0.9 · 0.9 of it. The battery is owed nothing, the engine never stops and nothing is lost at rest.
   */
  it('uses all that braking brings where every joule costs the same', () => {
    const trace = stopAndGo(6);
    const demand = new Demand(effortless, handStore, trace);
    const { fuel, run: lap } = runTuned(effortless, handStore, demand, withFactor('search'));
    let recoverable = 0;
    for (let k = 0; k < demand.block(0); k++) {
      recoverable += Math.min(Math.max(0, -demand.wheel[k]!), handStore.powerLimit) * demand.dt[k]!;
    }
    const least = (lap.ledger.traction - 0.81 * recoverable) / (0.4 * 0.855);
    expectWithin(fuel, least, 0.02);
    expect(fuel).toBeGreaterThan(least * (1 - 1e-6));
  });
});

describe('the ends of the factor', () => {
  const store = plainStore;
  const car = fitStore(plainCar, store);
  const demand = new Demand(car, store, stopAndGo(8));
  const capacity = usableEnergy(store, store.rotor.maxSpeed);

  it('empties the store where its energy counts for nothing', () => {
    const full = { ...store, initialSpeed: store.rotor.maxSpeed };
    const { ledger } = run(car, full, demand, withFactor(0)(), initialState(car, full));
    expect(ledger.storeChange).toBeLessThan(-0.95 * capacity);
    expect(ledger.recoveredFromEngine).toBe(0);
  });

  it('hoards where it counts for more than any fuel', () => {
    const { ledger } = run(car, store, demand, withFactor(20)(), initialState(car, store));
    expect(ledger.storeChange).toBeGreaterThan(0.8 * capacity);
    expect(ledger.recoveredFromEngine).toBeGreaterThan(0.5 * capacity);
    expect(ledger.assisted).toBeLessThan(0.05 * capacity);
  });

  it('prevents starts with a high price, but for those that the battery needs', () => {
    const starts = (startPrice: number) =>
      run(car, store, demand, withFactor(2.7, { startPrice })(), initialState(car, store)).ledger
        .engineStarts;
    expect(starts(1e7)).toBe(0);
    expect(starts(0)).toBeGreaterThan(5);
  });
});

describe('a search for the factor', () => {
  const store = plainStore;
  const car = fitStore(plainCar, store);
  const demand = new Demand(car, store, cycleNamed('nycc'));

  it('finds no more fuel than any factor of an even grid that it went through', () => {
    const { fuel, found } = runTuned(car, store, demand, withFactor('search'));
    for (const factor of [1.5, 2.25, 3, 4, 6]) {
      expect(runBalanced(car, store, demand, withFactor(factor)).fuel).toBeGreaterThanOrEqual(fuel);
    }
    const again = runBalanced(car, store, demand, withFactor(found!.numbers[0]!.value));
    expect(again.fuel).toBe(fuel);
  });

  it('does not depend on what was searched before, and leaves nothing behind', () => {
    const open = withFactor('search');
    const first = runTuned(car, store, demand, open);
    runTuned(car, store, new Demand(car, store, stopAndGo(3)), open);
    const second = runTuned(car, store, demand, open);
    const fresh = runTuned(car, store, demand, withFactor('search'));
    for (const other of [second, fresh]) {
      expect(other.found).toEqual(first.found);
      expect(other.run.ledger).toEqual(first.run.ledger);
    }
  });

  it('finds no more fuel the more numbers it may choose, as far as its rungs go', () => {
    const one = runTuned(car, store, demand, withFactor('search', { startPrice: 0 }));
    const feedback = { target: 0.5, gain: 'search' as const };
    const three = runTuned(
      car,
      store,
      demand,
      withFactor('search', { startPrice: 'search', feedback }),
    );
    expect(three.fuel).toBeLessThan(one.fuel);
    expect(three.found?.numbers.map(({ name }) => name)).toEqual(['factor', 'gain', 'startPrice']);
    const [factor, gain, startPrice] = three.found!.numbers.map(({ value }) => value);
    const again = withFactor(factor!, {
      startPrice: startPrice!,
      feedback: { target: 0.5, gain: gain! },
    });
    expect(runBalanced(car, store, demand, again).fuel).toBe(three.fuel);
  });

  it('saves no fuel by leaving work undone', () => {
    // An engine of a third of the torque lacks work on US06, which a store that it charges can do.
    const { engine } = plainCar;
    const fullLoad = new Curve(
      engine.fullLoad.x,
      engine.fullLoad.y.map((torque) => torque / 3),
    );
    const weak = fitStore({ ...plainCar, engine: { ...engine, fullLoad } }, store);
    const drive = new Demand(weak, store, cycleNamed('us06'));
    const eager = {
      reserve: { target: 1, chargePower: 20e3, demandBelow: 30e3, speedAbove: 5 },
      assist: {
        launchBelow: 0,
        accelerationAbove: 100,
        share: 1,
        floor: 0,
        coverShortfall: true,
      },
    };
    const make = ([value]: readonly number[]) => combine('test', value! > 0 ? eager : {});
    const numbers = [{ name: 'eagerness', rungs: [0, 1], start: 0 }];
    const { found } = runTuned(
      weak,
      store,
      drive,
      Object.assign(() => make([0]), { search: { numbers, make } }),
    );
    const [idle, helped] = [0, 1].map((value) =>
      runBalanced(weak, store, drive, () => make([value])),
    );
    expect(helped!.fuel).toBeGreaterThan(idle!.fuel);
    expect(helped!.run.ledger.shortfall).toBeLessThan(0.8 * idle!.run.ledger.shortfall);
    expect(found?.numbers[0]?.value).toBeGreaterThan(0);
  });

  it('leaves a strategy without an open number alone', () => {
    const make = () => combine('assist', { recover: { share: 1, minPower: 0 } });
    const tuned = runTuned(car, store, demand, make);
    expect(tuned).toEqual(runBalanced(car, store, demand, make));
    expect(tuned.found).toBeUndefined();
  });

  it('can be driven once more for a log, with the factor that was found', () => {
    const subject = {
      car: plainCar,
      store,
      makeStrategy: withFactor('search'),
      trace: cycleNamed('nycc'),
    };
    const result = runCase(subject);
    let fuel = 0;
    replay(subject, result, (step) => {
      fuel += step.fuel * step.dt;
    });
    expect(fuel).toBe(result.withStore.run.ledger.fuel);
  });

  it('says at which end it stands where the fuel falls up to there', () => {
    // A store that can do nothing: no factor is better than another, and the lowest is taken.
    const idle = { ...store, powerLimit: 0 };
    const { found } = runTuned(
      car,
      idle,
      new Demand(car, idle, stopAndGo(3)),
      withFactor('search'),
    );
    expect(found?.numbers).toMatchObject([{ name: 'factor', value: 1.5, from: 1.5, to: 6 }]);
  });
});

describe('strategies of least cost on random cases', () => {
  it('close every ledger and stay within the envelope, whatever their prices', () => {
    const worst = new Worst();
    let transferred = 0;
    for (let seed = 1; seed <= 80; seed++) {
      const random = seeded(seed);
      const store = anyStore(random);
      const car = fitStore(anyCar(random), store);
      const demand = new Demand(car, store, unevenDrive(random));
      const strategy = withFactor(between(random, 0, 6), {
        startPrice: between(random, 0, 50e3),
        startHorizon: between(random, 0.1, 20),
        stopHorizon: between(random, 0.1, 60),
        ...(random() < 0.5 && { feedback: { target: random(), gain: between(random, 0, 5) } }),
      })();
      const { closure, ledger } = run(car, store, demand, strategy, initialState(car, store));
      worst.see(closure, () => `seed ${seed}`);
      transferred += ledger.assisted + ledger.recoveredBraking;
    }
    worst.expectAtMost(CLOSURE_LIMIT);
    expect(transferred).toBeGreaterThan(1e6);
  });
});
