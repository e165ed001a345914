import { describe, expect, it } from 'vitest';
import { traceFromSamples } from '../../src/cycle/samples.ts';
import { distance, intervalCount, refine, type Trace } from '../../src/cycle/trace.ts';
import { GRAVITY } from '../../src/physics/air.ts';
import { type Car, fitStore } from '../../src/simulate/car.ts';
import { Demand } from '../../src/simulate/demand.ts';
import type { Ledger } from '../../src/simulate/ledger.ts';
import { run } from '../../src/simulate/run.ts';
import { initialState } from '../../src/simulate/state.ts';
import { combine } from '../../src/strategy/combine.ts';
import { randomDrive, roadsOf } from '../cycle/drives.ts';
import { cycleNamed, plainCar, plainChoices, plainStore } from '../fixtures.ts';
import { seeded } from '../seeded.ts';
import { expectWithin, Worst } from '../within.ts';
import { anyCar, cut, flat, handCar, stopAndGo } from './drives.ts';

/** More intervals than a demand holds at once. */
const MORE_THAN_A_BLOCK = 5000;

/** One trace after another, the second starting where and when the first ends. */
function join(first: Trace, second: Trace): Trace {
  const shift = first.time.at(-1)! - second.time[0]!;
  return {
    name: `${first.name} and ${second.name}`,
    time: Float64Array.of(...first.time, ...second.time.slice(1).map((time) => time + shift)),
    speed: Float64Array.of(...first.speed, ...second.speed.slice(1)),
    climb: Float64Array.of(...first.climb, ...second.climb),
    level: Float64Array.of(...first.level, ...second.level),
  };
}

/** Gear of every interval of a trace. */
function gears(car: Car, trace: Trace): number[] {
  const demand = new Demand(car, undefined, trace);
  const list: number[] = [];
  for (let first = 0; first < demand.count; ) {
    const held = demand.block(first);
    list.push(...demand.gear.slice(0, held));
    first += held;
  }
  return list;
}

/** A trace of so many seconds at rest. */
function rest(seconds: number): Trace {
  const time = Float64Array.from({ length: seconds + 1 }, (_, k) => k);
  return {
    name: 'rest',
    time,
    speed: new Float64Array(seconds + 1),
    climb: new Float64Array(seconds),
    level: new Float64Array(seconds),
  };
}

describe('the demand of an interval', () => {
  it('is that of a drive up a hill computed by hand', () => {
    // 10 to 14 m/s in 2 s, 24 m along the road, 1.2 m up: sin θ = 0.05.
    const car: Car = {
      ...handCar,
      roadLoad: { rolling: 150, linear: 3, square: 0.4, wind: 0 },
    };
    const climb = 1.2;
    const level = Math.sqrt(24 ** 2 - climb ** 2);
    const trace: Trace = {
      name: 'hill',
      time: Float64Array.of(5, 7),
      speed: Float64Array.of(10, 14),
      climb: Float64Array.of(climb),
      level: Float64Array.of(level),
    };
    const demand = new Demand(car, undefined, trace);
    expect(demand.count).toBe(1);
    expect(demand.block(0)).toBe(1);
    expect(demand.time[0]).toBe(5);
    expect(demand.dt[0]).toBe(2);
    expect(demand.speed[0]).toBe(12);
    expect(demand.acceleration[0]).toBe(2);
    expectWithin(demand.sine[0]!, 0.05, 1e-12);
    // Means over the ramp: v·v² = 12·(100 + 196)/2 = 1776, v·v = (100 + 140 + 196)/3.
    expectWithin(demand.aerodynamic[0]!, 0.4 * 1776, 1e-12);
    expectWithin(demand.rolling[0]!, (150 * level) / 2 + (3 * 436) / 3, 1e-12);
    expectWithin(demand.grade[0]!, 1000 * GRAVITY * 0.6, 1e-12);
    expect(demand.kinetic[0]).toBe(1100 * 2 * 12);
    const sum = demand.aerodynamic[0]! + demand.rolling[0]! + demand.grade[0]!;
    expectWithin(demand.wheel[0]!, sum + 26_400, 1e-12);
    // Third gear: 10 rad/s for each m/s
    expect(demand.gear[0]).toBe(3);
    expectWithin(demand.inputStart[0]!, 100, 1e-12);
    expectWithin(demand.inputEnd[0]!, 140, 1e-12);
  });

  it('is nothing at rest, whatever the wind', () => {
    const car: Car = { ...handCar, roadLoad: { rolling: 150, linear: 3, square: 0.4, wind: 12 } };
    const demand = new Demand(car, undefined, rest(3));
    demand.block(0);
    expect([...demand.wheel]).toEqual([0, 0, 0]);
    expect([...demand.gear]).toEqual([1, 1, 1]);
  });
});

describe('a finer sampling of the same drive', () => {
  it.each([2, 10])('by %d parts changes no road-load energy', (parts) => {
    const worst = new Worst();
    const random = seeded(700 + parts);
    const strategy = combine('as it is', {});
    for (let k = 0; k < 60; k++) {
      const car = anyCar(random);
      for (const samples of roadsOf(randomDrive(random))) {
        const coarse = traceFromSamples(samples);
        const [a, b] = [coarse, refine(coarse, parts)].map((trace) => {
          const demand = new Demand(car, undefined, trace);
          return run(car, undefined, demand, strategy, initialState(car, undefined)).ledger;
        }) as [Ledger, Ledger];
        // Relative to the energy that went back and forth, since each line is a sum with signs.
        const moved = a.traction + a.braking;
        for (const line of ['aerodynamic', 'rolling', 'grade', 'kinetic'] as const) {
          worst.see(Math.abs(b[line] - a[line]) / moved, () => `${line} of drive ${k}`);
        }
        worst.see(
          Math.abs(a.traction - a.braking - (b.traction - b.braking)) / moved,
          () => `wheel work of drive ${k}`,
        );
      }
    }
    worst.expectAtMost(1e-9);
  });
});

describe('a trace longer than one block', () => {
  const trace = refine(cycleNamed('wltc-class3b'), 4);
  const store = { ...plainStore, initialSpeed: 0.6 * plainStore.rotor.maxSpeed };

  it.each(['thresholds', 'leastFuel'] as const)(
    'gives with gears by %s the ledger of its halves driven one after another',
    (choice) => {
      const gearbox = { ...plainCar.gearbox, choice: plainChoices[choice] };
      const car = fitStore({ ...plainCar, gearbox }, store);
      const makeStrategy = () =>
        combine('all', {
          stopStart: { delay: 1 },
          coast: { floor: 0.05, maxSpeed: 40 },
          recover: { share: 1, minPower: 0 },
        });
      const demand = new Demand(car, store, trace);
      const count = intervalCount(trace);
      expect(count).toBeGreaterThan(MORE_THAN_A_BLOCK);
      const whole = run(car, store, demand, makeStrategy(), initialState(car, store));

      // Parted where the car stands, so that both start in first gear, and off the blocks' own border.
      const middle = trace.speed.findIndex((speed, k) => k > 1500 && speed === 0);
      expect(count - middle).toBeGreaterThan(MORE_THAN_A_BLOCK);
      const strategy = makeStrategy();
      const halves = [cut(trace, 0, middle), cut(trace, middle, count)];
      let state = initialState(car, store);
      const parts = halves.map((half) => {
        const done = run(car, store, new Demand(car, store, half), strategy, state);
        state = { ...done.end };
        return done;
      });
      expect(state).toEqual(whole.end);
      for (const [line, value] of Object.entries(whole.ledger)) {
        if (typeof value !== 'number' || line.startsWith('lowest')) continue;
        const sum = parts.reduce(
          (total, { ledger }) => total + (ledger as unknown as Record<string, number>)[line]!,
          0,
        );
        // Thousands of additions in another order; the change of the store cancels large parts.
        expect(Math.abs(sum - value), line).toBeLessThanOrEqual(
          1e-12 * Math.max(Math.abs(value), 1e6),
        );
      }
    },
  );

  it('can be driven again with the same result', () => {
    const car = fitStore(plainCar, store);
    const demand = new Demand(car, store, trace);
    const lap = () =>
      run(car, store, demand, combine('as it is', {}), initialState(car, store)).ledger;
    expect(lap()).toEqual(lap());
  });

  it('takes gear and time in gear across the border of two blocks', () => {
    // The same drive after rests of different length: the border falls at other places of it.
    const random = seeded(77);
    const drive = traceFromSamples({
      ...roadsOf(randomDrive(random))[0]!,
      speed: Float64Array.from({ length: 400 }, (_, k) => 12 + 9 * Math.sin(k / 9)),
      time: Float64Array.from({ length: 400 }, (_, k) => 0.7 * k),
    });
    const slow = flat([0, 5], [0, drive.speed[0]!]);
    for (const choice of [plainChoices.thresholds, plainChoices.leastFuel]) {
      const car = { ...plainCar, gearbox: { ...plainCar.gearbox, choice } };
      const early = gears(car, join(join(rest(10), slow), drive)).slice(10);
      expect(new Set(early).size).toBeGreaterThan(3);
      for (let seconds = 4096 - 400; seconds <= 4096; seconds += 7) {
        const late = gears(car, join(join(rest(seconds), slow), drive)).slice(seconds);
        expect(late).toEqual(early);
      }
    }
  });

  it('keeps a gear within its hysteresis band for as long as it takes', () => {
    // Second gear is entered at 3 m/s and left below 2.5 m/s; 2.7 m/s keeps what is engaged.
    const speeds = (first: number) =>
      Float64Array.from({ length: MORE_THAN_A_BLOCK }, (_, k) => (k < 10 ? first : 2.7));
    const time = Float64Array.from({ length: MORE_THAN_A_BLOCK }, (_, k) => k);
    const from = (first: number) =>
      gears(handCar, traceFromSamples({ name: 'band', time, speed: speeds(first) })).slice(12);
    expect(new Set(from(3.5))).toEqual(new Set([2]));
    expect(new Set(from(2))).toEqual(new Set([1]));
  });
});

describe('the choice of gear by thresholds', () => {
  it('goes up at one speed and down at a lower one', () => {
    // Mean speeds of the intervals: 1, 2.75, 3.25, 2.75, 2.25, 5, 9.5, 8.5, 7.5
    const means = [1, 2.75, 3.25, 2.75, 2.25, 5, 9.5, 8.5, 7.5];
    expect(gears(handCar, steps(means))).toEqual([1, 1, 2, 2, 1, 2, 3, 3, 2]);
  });

  it('skips gears where the speed has left them behind', () => {
    expect(gears(handCar, steps([1, 20, 19, 1]))).toEqual([1, 3, 3, 1]);
  });
});

/** A trace from rest whose intervals of 1 s have these mean speeds. */
function steps(means: readonly number[]): Trace {
  const count = means.length;
  return {
    name: 'steps',
    time: Float64Array.from({ length: count + 1 }, (_, k) => k),
    speed: Float64Array.from({ length: count + 1 }, (_, k) => {
      let speed = 0;
      for (let i = 0; i < k; i++) speed = 2 * means[i]! - speed;
      return speed;
    }),
    climb: new Float64Array(count),
    level: Float64Array.from(means),
  };
}

describe('the choice of gear by least fuel', () => {
  it('holds a gear for its least time, unless the engine would leave its range or is too weak in it', () => {
    const choice = { ...plainChoices.leastFuel, minimumTime: 6 };
    const car = { ...plainCar, gearbox: { ...plainCar.gearbox, choice } };
    const perSpeed = [...car.gearbox.ratios].map((ratio) => (ratio * 3.3) / car.tyreRadius);
    let early = 0;
    let late = 0;
    for (const name of ['udds', 'us06', 'wltc-class3b', 'jc08']) {
      const trace = cycleNamed(name);
      const list = gears(car, trace);
      const demand = new Demand(car, undefined, trace);
      demand.block(0);
      let since = Number.POSITIVE_INFINITY;
      for (let k = 0; k < list.length; k++) {
        const now = list[k]!;
        const last = k > 0 ? list[k - 1]! : 1;
        if (now !== last) {
          const speed = 0.5 * (trace.speed[k]! + trace.speed[k + 1]!);
          const engine = perSpeed[last - 1]! * speed;
          const left = engine > choice.maxSpeed || (engine < choice.minSpeed && last > 1);
          const most = (car.engine.fullLoad.at(engine) - 0.6) * engine * 0.97 * 0.98;
          const weak = demand.wheel[k]! > most;
          expect(since >= 6 || left || weak, `${name} at ${k} s after ${since} s`).toBe(true);
          if (since < 6) early++;
          else late++;
          since = 0;
        }
        since += trace.time[k + 1]! - trace.time[k]!;
      }
    }
    // Both ways of leaving a gear were met.
    expect(early).toBeGreaterThan(10);
    expect(late).toBeGreaterThan(10);
  });

  it('changes more often with a shorter least time', () => {
    const trace = cycleNamed('wltc-class3b');
    const changes = [0, 10, 30].map((minimumTime) => {
      const choice = { ...plainChoices.leastFuel, minimumTime };
      const list = gears({ ...plainCar, gearbox: { ...plainCar.gearbox, choice } }, trace);
      return list.filter((gear, k) => k > 0 && gear !== list[k - 1]).length;
    });
    expect(changes[0]).toBeGreaterThan(changes[1]!);
    expect(changes[1]).toBeGreaterThan(changes[2]!);
  });
});

describe('kinetic and potential energy of a run', () => {
  it('are what the ends of the trace alone say', () => {
    const random = seeded(91);
    for (let k = 0; k < 30; k++) {
      const car = anyCar(random);
      for (const samples of roadsOf(randomDrive(random))) {
        const trace = traceFromSamples(samples);
        const demand = new Demand(car, undefined, trace);
        const { ledger } = run(
          car,
          undefined,
          demand,
          combine('as it is', {}),
          initialState(car, undefined),
        );
        const moved = ledger.traction + ledger.braking;
        const [v1, v2] = [trace.speed[0]!, trace.speed.at(-1)!];
        const kinetic = 0.5 * (car.mass + car.rotatingMass) * (v2 ** 2 - v1 ** 2);
        expect(Math.abs(ledger.kinetic - kinetic)).toBeLessThan(1e-12 * moved);
        const climbed = trace.climb.reduce((a, b) => a + b, 0);
        const potential = car.mass * GRAVITY * climbed;
        expect(Math.abs(ledger.grade - potential)).toBeLessThan(1e-12 * moved);
        expectWithin(ledger.distance, distance(trace), 1e-12);
        if (samples.road?.kind === 'altitude') {
          const { altitude } = samples.road;
          const raised = altitude.at(-1)! - altitude[0]!;
          expect(Math.abs(ledger.grade - car.mass * GRAVITY * raised)).toBeLessThan(1e-9 * moved);
        }
      }
    }
  });

  it('cancel on a drive from rest to rest on the flat', () => {
    const trace = stopAndGo(5);
    const demand = new Demand(plainCar, undefined, trace);
    const { ledger } = run(
      plainCar,
      undefined,
      demand,
      combine('as it is', {}),
      initialState(plainCar, undefined),
    );
    expect(Math.abs(ledger.kinetic)).toBeLessThan(1e-12 * ledger.traction);
    expect(ledger.grade).toBe(0);
    // What was driven and not braked went into the air and the tyres.
    expectWithin(ledger.traction - ledger.braking, ledger.aerodynamic + ledger.rolling, 1e-12);
  });
});
