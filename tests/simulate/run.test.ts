import { describe, expect, it } from 'vitest';
import { InputError } from '../../src/config/problem.ts';
import { refine, type Trace } from '../../src/cycle/trace.ts';
import type { Store } from '../../src/physics/store.ts';
import { fitStore } from '../../src/simulate/car.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { type Run, run } from '../../src/simulate/run.ts';
import { initialState } from '../../src/simulate/state.ts';
import { newStep, type Step } from '../../src/simulate/step.ts';
import { combine } from '../../src/strategy/combine.ts';
import type { Strategy, View, Want } from '../../src/strategy/contract.ts';
import { cycleNamed, plainCar, plainStore } from '../fixtures.ts';
import { seeded } from '../seeded.ts';
import { expectWithin } from '../within.ts';
import { anyBehaviours, anyCar, anyStore, flat, stopAndGo, unevenDrive } from './drives.ts';

const half: Store = { ...plainStore, initialSpeed: 0.7 * plainStore.rotor.maxSpeed };

function drive(
  strategy: Strategy,
  trace: Trace = stopAndGo(1),
  fitted: Store | 'none' = half,
  watch?: (step: Readonly<Step>) => void,
): Run {
  const store = fitted === 'none' ? undefined : fitted;
  const car = store === undefined ? plainCar : fitStore(plainCar, store);
  const demand = new Demand(car, store, trace);
  return run(car, store, demand, strategy, initialState(car, store), watch);
}

/** A strategy that writes an answer of any kind into a key, from an instant on. */
function answering(key: keyof Want, answer: (see: Readonly<View>) => unknown): Strategy {
  return {
    name: 'careless',
    decide(see, want) {
      if (see.time >= 12) (want as unknown as Record<string, unknown>)[key] = answer(see);
    },
  };
}

function problemsOf(work: () => unknown): InputError['problems'] {
  try {
    work();
  } catch (error) {
    if (error instanceof InputError) return error.problems;
    throw error;
  }
  throw new Error('nothing was refused');
}

describe('a strategy that breaks its contract', () => {
  it.each([
    ['NaN', Number.NaN, 'NaN'],
    ['Infinity', Number.POSITIVE_INFINITY, 'Infinity'],
    ['minus Infinity', Number.NEGATIVE_INFINITY, '-Infinity'],
    ['undefined', undefined, 'undefined'],
    ['null', null, 'null'],
    ['a text', 'full power', 'full power'],
    ['a text that reads as a number within the envelope', '1', '1'],
    ['true', true, 'true'],
    ['a list of one number', [1], '1'],
    ['a BigInt', 1n, '1'],
  ])(
    'by answering %s as its store power is refused, with name, key, time and value',
    (_, answer, found) => {
      const [problem, ...others] = problemsOf(() => drive(answering('storePower', () => answer)));
      expect(others).toEqual([]);
      expect(problem).toEqual({
        code: 'strategy-answer',
        file: 'strategy careless',
        path: 'at 12 s, storePower',
        found,
        expected: 'a finite number of watts',
      });
    },
  );

  it.each(['engineOn', 'clutched'] as const)(
    'by answering %s with what is no boolean is refused',
    (key) => {
      for (const answer of [1, 0, 'true', undefined, null]) {
        const problems = problemsOf(() => drive(answering(key, () => answer)));
        expect(problems).toEqual([
          {
            code: 'strategy-answer',
            file: 'strategy careless',
            path: `at 12 s, ${key}`,
            found: String(answer),
            expected: 'true or false',
          },
        ]);
      }
    },
  );

  it('by leaving the envelope upwards or downwards is refused, and told the envelope', () => {
    const seen: View[] = [];
    const look: Strategy = { name: 'look', decide: (see) => void seen.push({ ...see }) };
    drive(look);
    const { assistLimit, recoverLimit, time } = seen[12]!;
    expect(time).toBe(12);
    expect(assistLimit).toBeGreaterThan(1000);
    expect(recoverLimit).toBeGreaterThan(1000);
    const watts = (value: number) => `${Number(value.toPrecision(6))} W`;
    const envelope = `a store power within the envelope, ${watts(-recoverLimit)} to ${watts(assistLimit)}`;
    for (const power of [assistLimit + 5, -recoverLimit - 5]) {
      const problems = problemsOf(() => drive(answering('storePower', () => power)));
      expect(problems).toEqual([
        {
          code: 'strategy-left-envelope',
          file: 'strategy careless',
          path: 'at 12 s, storePower',
          found: watts(power),
          expected: envelope,
          hint: 'hold what you want against see.assistLimit and see.recoverLimit',
        },
      ]);
    }
  });

  it('by wanting any power of a car without a store is refused', () => {
    const problems = problemsOf(() =>
      drive(
        answering('storePower', () => 100),
        stopAndGo(1),
        'none',
      ),
    );
    expect(problems[0]!.code).toBe('strategy-left-envelope');
    expect(problems[0]!.expected).toBe('a store power within the envelope, 0 W to 0 W');
  });

  it('may overstep the envelope by rounding, and then gets the envelope', () => {
    const assist = (see: Readonly<View>) => see.assistLimit;
    const recover = (see: Readonly<View>) => -see.recoverLimit;
    const wishes: [over: (see: Readonly<View>) => number, at: (see: Readonly<View>) => number][] = [
      [(see) => see.assistLimit + 5e-7, assist],
      [(see) => see.assistLimit * (1 + 5e-10), assist],
      [(see) => -see.recoverLimit - 5e-7, recover],
      [(see) => -see.recoverLimit * (1 + 5e-10), recover],
    ];
    for (const store of [half, plainStore, { ...plainStore, initialSpeed: 0 }]) {
      for (const [over, at] of wishes) {
        const beyond = drive(answering('storePower', over), stopAndGo(1), store);
        const within = drive(answering('storePower', at), stopAndGo(1), store);
        expect(beyond.ledger).toEqual(within.ledger);
        expect(beyond.end).toEqual(within.end);
      }
    }
    const wish = answering('storePower', () => 5e-7);
    expect(drive(wish, stopAndGo(1), 'none').ledger.assisted).toBe(0);
  });

  it('is refused at the first such answer, after which nothing is driven', () => {
    let watched = 0;
    problemsOf(() =>
      drive(
        answering('storePower', () => Number.NaN),
        stopAndGo(1),
        half,
        () => {
          watched++;
        },
      ),
    );
    // The intervals that start at 0 to 11 s.
    expect(watched).toBe(12);
  });
});

describe('a run', () => {
  it('asks the strategy once for each interval, in order, with its wish reset', () => {
    const trace = unevenDrive(seeded(11));
    const times: number[] = [];
    const asking: Strategy = {
      name: 'asking',
      decide(see, want) {
        expect(want).toEqual({ storePower: 0, engineOn: true, clutched: true });
        times.push(see.time);
        want.engineOn = false;
        want.clutched = false;
        want.storePower = see.assistLimit;
      },
    };
    drive(asking, trace);
    expect(times).toEqual([...trace.time.slice(0, -1)]);
  });

  it('repeats bit for bit', () => {
    const random = seeded(12);
    for (let k = 0; k < 25; k++) {
      const store = anyStore(random);
      const car = fitStore(anyCar(random), store);
      const trace = unevenDrive(random);
      const seed = Math.floor(1e9 * random());
      const once = () =>
        run(
          car,
          store,
          new Demand(car, store, trace),
          anyBehaviours(seeded(seed)),
          initialState(car, store),
        );
      // toEqual compares numbers with Object.is
      expect(once()).toEqual(once());
    }
  });

  it('leaves the state it started from as it was', () => {
    const car = fitStore(plainCar, half);
    const start = initialState(car, half);
    const before = { ...start };
    const done = run(car, half, new Demand(car, half, stopAndGo(1)), combine('none', {}), start);
    expect(start).toEqual(before);
    expect(done.start).toEqual(before);
    expect(done.end).not.toEqual(before);
  });

  it('shows each interval to a watcher once, in order, and the sums of what it shows are the ledger', () => {
    const trace = refine(cycleNamed('jc08'), 4);
    const car = fitStore(plainCar, half);
    const strategy = combine('all', {
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
    const times: number[] = [];
    const keys = Object.keys(newStep()) as (keyof Step)[];
    const sums = Object.fromEntries(keys.map((key) => [key, 0])) as Record<keyof Step, number>;
    let starts = 0;
    let on = 0;
    let braking = 0;
    let recovered = 0;
    let assisted = 0;
    let last: Step | undefined;
    const done = run(
      car,
      half,
      new Demand(car, half, trace),
      strategy,
      initialState(car, half),
      (step) => {
        times.push(step.time);
        for (const key of keys) sums[key] += Number(step[key]) * step.dt;
        if (step.engineStarted) starts++;
        if (step.engineOn) on += step.dt;
        if (step.wheel < 0) braking -= step.wheel * step.dt;
        if (step.store < 0) recovered -= step.store * step.dt;
        else assisted += step.store * step.dt;
        last = { ...step };
      },
    );
    const { ledger } = done;
    expect(times).toEqual([...trace.time.slice(0, -1)]);
    const lines = [
      'fuel',
      'engineDrag',
      'starterWork',
      'rotating',
      'shiftLoss',
      'accessories',
      'launchSlip',
      'gearboxLoss',
      'finalDriveLoss',
      'engineWheel',
      'aerodynamic',
      'rolling',
      'grade',
      'kinetic',
      'brakes',
      'shortfall',
      'storeTransmissionLoss',
      'storeSlipLoss',
      'storeDragLoss',
      'electricLoad',
      'starter',
      'alternatorLoss',
      'batteryLoss',
      'debtChange',
    ] as const;
    // The same additions in the same order.
    for (const line of lines) expect(sums[line], line).toBe(ledger[line]);
    expectWithin(sums.fuel - sums.engineBrake, ledger.engineHeat, 1e-12);
    expect(sums.speed).toBe(ledger.distance);
    expect(starts).toBe(ledger.engineStarts);
    expect(starts).toBeGreaterThan(5);
    expect(on).toBe(ledger.engineOnTime);
    expect(braking).toBe(ledger.braking);
    expect(recovered).toBe(ledger.recoveredBraking);
    expect(assisted).toBe(ledger.assisted);
    expect(last!.rotorSpeed).toBe(done.end.rotorSpeed);
    expect(last!.batteryDebt).toBe(done.end.batteryDebt);
    expect(ledger.recoveredBraking).toBeGreaterThan(0);
    expect(ledger.assisted).toBeGreaterThan(0);
  });

  it('counts what happened and for how long', () => {
    // 0 to 10 m/s in 10 s, 10 s at 10 m/s, to rest in 10 s, 10 s at rest; intervals of 1 s.
    const up = Array.from({ length: 10 }, (_, k) => k);
    const speed = [...up, ...new Array(11).fill(10), ...up.toReversed(), ...new Array(10).fill(0)];
    const trace = flat([...speed.keys()], speed);
    const { ledger } = drive(combine('stop-start', { stopStart: { delay: 3 } }), trace, 'none');
    expect(ledger.duration).toBe(40);
    expect(ledger.distance).toBe(50 + 100 + 50);
    expect(ledger.standstillTime).toBe(10);
    // Off for the last 7 of the 10 s at rest.
    expect(ledger.engineOnTime).toBe(33);
    expect(ledger.engineOffDriving).toBe(0);
    expect(ledger.engineStarts).toBe(0);
    expect(ledger.shortfallTime).toBe(0);
  });

  it('does not start and stop the engine over and over once the battery is owed its limit', () => {
    // Two hours at rest after a short drive. Off, 350/0.85 W take the debt from half its limit of
    // 360 kJ to the whole in 437 s; on, 800 W pay it back in 225 s. So some 11 starts, and the
    // engine off for two thirds of the time.
    const trace = stopAndGo(1, 7200);
    const stopping = drive(combine('stop-start', { stopStart: { delay: 0 } }), trace, 'none');
    const idling = drive(combine('as it is', {}), trace, 'none');
    expect(stopping.ledger.engineStarts).toBeGreaterThan(8);
    expect(stopping.ledger.engineStarts).toBeLessThan(13);
    expectWithin(stopping.ledger.engineOnTime / stopping.ledger.duration, 1 / 3, 0.1);
    expect(stopping.ledger.fuel).toBeLessThan(0.7 * idling.ledger.fuel);
  });
});
