import { describe, expect, it } from 'vitest';
import type { Store } from '../../src/physics/store.ts';
import { runBalanced } from '../../src/simulate/balance.ts';
import { fitStore } from '../../src/simulate/car.ts';
import { type Case, runCase } from '../../src/simulate/case.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { totalFuel } from '../../src/simulate/total-fuel.ts';
import {
  PARTS,
  type Part,
  runWaterfall,
  type WaterfallStep,
} from '../../src/simulate/waterfall.ts';
import { type Behaviours, combine } from '../../src/strategy/combine.ts';
import { cycleNamed, plainCar, plainStore } from '../fixtures.ts';
import { seeded } from '../seeded.ts';
import { expectWithin, Worst } from '../within.ts';
import { anyCar, anyParameters, anyStore, cut, stopAndGo, unevenDrive } from './drives.ts';

/** Everything that a combined strategy may have. */
const everything = {
  stopStart: { delay: 2 },
  recover: { share: 0.9, minPower: 300 },
  assist: {
    launchBelow: 6,
    accelerationAbove: 0.4,
    share: 0.8,
    floor: 0.1,
    coverShortfall: true,
  },
  keepOff: { stopAbove: 0.3, floor: 0.05, maxPower: 15e3 },
  coast: { floor: 0.05, maxSpeed: 30 },
  reserve: { target: 0.4, chargePower: 5e3, demandBelow: 15e3, speedAbove: 8 },
} as const satisfies Behaviours;

const town = cut(cycleNamed('udds'), 0, 340);

function caseOf(behaviours: Behaviours, change: Partial<Case> = {}): Case {
  const makeStrategy = () => combine('whole', behaviours);
  return { car: plainCar, store: plainStore, trace: town, makeStrategy, ...change };
}

function stepsOf(behaviours: Behaviours, change: Partial<Case> = {}) {
  const subject = caseOf(behaviours, change);
  const result = runCase(subject);
  return { result, steps: runWaterfall(subject, behaviours, result) };
}

function step(steps: readonly WaterfallStep[], part: Part): WaterfallStep {
  const found = steps.find((one) => one.part === part);
  if (found === undefined) throw new Error(`no step ${part}`);
  return found;
}

/** Balanced fuel of a strategy written out by hand, with the store on the car. */
function fuelOf(behaviours: Behaviours, store: Store = plainStore, trace = town): number {
  const car = fitStore(plainCar, store);
  const demand = new Demand(car, store, trace);
  return runBalanced(car, store, demand, () => combine('by hand', behaviours)).fuel;
}

describe('a saving in steps', () => {
  it('adds one part at a time, each from a run of the strategy composed by hand', () => {
    const { stopStart, recover, assist, keepOff, coast, reserve } = everything;
    const launch = { ...assist, accelerationAbove: Number.POSITIVE_INFINITY };
    const { steps, result } = stepsOf(everything);
    expect(steps.map(({ part }) => part)).toEqual(PARTS.filter((part) => part !== 'strategy'));
    const fuels = [
      fuelOf({ stopStart }),
      fuelOf({ stopStart, recover }),
      fuelOf({ stopStart, recover, assist: launch }),
      fuelOf({ stopStart, recover, assist }),
      fuelOf({ stopStart, recover, assist, keepOff }),
      fuelOf({ stopStart, recover, assist, keepOff, coast }),
      fuelOf({ stopStart, recover, assist, keepOff, coast, reserve }),
    ];
    expect(steps.slice(1).map(({ after }) => after.fuel)).toEqual(fuels);
    expect(fuels.at(-1)).toBe(result.withStore.fuel);
    // The parts are seen to act: no two steps but the recovery, which nothing uses yet, are alike.
    expect(new Set(fuels).size).toBe(fuels.length - 1);
  });

  it('says what is lost without each part, from a run of all the others', () => {
    const { stopStart, recover, assist, keepOff, coast, reserve } = everything;
    const launch = { ...assist, accelerationAbove: Number.POSITIVE_INFINITY };
    const { steps } = stepsOf(everything);
    const weightless = { ...plainStore, mass: 0, auxiliaryPower: 0 };
    const without: { readonly [Name in Part]?: number } = {
      stop_start: fuelOf({ recover, assist, keepOff, coast, reserve }),
      store_mass: fuelOf(everything, weightless),
      recovery: fuelOf({ stopStart, assist, keepOff, coast, reserve }),
      // Helping in other accelerations widens helping in launches and goes with it.
      launch_assist: fuelOf({ stopStart, recover, keepOff, coast, reserve }),
      acceleration_assist: fuelOf({ ...everything, assist: launch }),
      keep_off: fuelOf({ stopStart, recover, assist, coast, reserve }),
      coast: fuelOf({ stopStart, recover, assist, keepOff, reserve }),
      reserve: fuelOf({ stopStart, recover, assist, keepOff, coast }),
    };
    const found = Object.fromEntries(steps.map(({ part, without: { fuel } }) => [part, fuel]));
    expect(found).toEqual(without);
  });

  it('adds up to the saving of the case, whose own run is the last, for any strategy', () => {
    const random = seeded(20_260_401);
    const worst = new Worst();
    const seen = { parts: new Set<Part>(), methods: new Set<string>() };
    for (let k = 0; k < 30; k++) {
      const behaviours = anyParameters(random);
      const { steps, result } = stepsOf(behaviours, {
        car: anyCar(random),
        store: anyStore(random),
        trace: random() < 0.5 ? unevenDrive(random) : stopAndGo(3, 10),
      });
      const { baseline, withStore } = result;
      const sum = steps.reduce((total, { saving }) => total + saving, 0);
      const off = sum - (baseline.fuel - withStore.fuel);
      worst.see(Math.abs(off) / baseline.fuel, () => `case ${k}: ${JSON.stringify(behaviours)}`);
      expect(steps.at(-1)?.after).toBe(withStore);
      for (const { part, after } of steps) {
        seen.parts.add(part);
        if (after.balance) seen.methods.add(after.balance.method);
      }
    }
    // At most eight subtractions of doubles.
    worst.expectAtMost(1e-12);
    expect(seen.parts.size).toBe(PARTS.length - 1);
    expect([...seen.methods].toSorted()).toEqual(['repetition', 'slope']);
  });

  it('gives each step the difference to the step before it, and the first that to the car as it is', () => {
    const { steps, result } = stepsOf(everything);
    const before = [result.baseline, ...steps.map(({ after }) => after)];
    steps.forEach(({ saving, after }, index) => {
      expect(saving).toBe(before[index]!.fuel - after.fuel);
    });
  });

  it('loses without the last part just what that part has saved', () => {
    const { steps, result } = stepsOf(everything);
    const last = steps.at(-1)!;
    expectWithin(last.without.fuel - result.withStore.fuel, last.saving, 1e-12);
  });

  it('charges each step with the debt of its own battery and the correction of its own balance', () => {
    // Ends at speed, so that it is no lap.
    const { steps, result } = stepsOf(everything, { trace: cut(cycleNamed('udds'), 0, 240) });
    const runs = steps.flatMap(({ part, after, without }) =>
      part === 'stop_start' ? [without] : [after, without],
    );
    for (const { run, fuel, balance } of runs) {
      if (balance?.method !== 'slope') throw new Error('not corrected');
      const correction = -(balance.slope ?? 0) * run.ledger.storeChange;
      expectWithin(fuel, totalFuel(result.fittedCar, run) + correction, 1e-12);
    }
    expect(runs.filter(({ run }) => run.ledger.debtChange !== 0).length).toBeGreaterThan(5);
    expect(runs.filter(({ run, fuel }) => fuel !== run.ledger.fuel).length).toBeGreaterThan(5);
  });
});

describe('the step of', () => {
  it('stop-start needs no store and is that of the references where it waits as long', () => {
    const { steps, result } = stepsOf({ stopStart: { delay: 0 }, recover: everything.recover });
    const first = step(steps, 'stop_start');
    expect(first.after).toEqual(result.stopStart);
    expect(first.after.balance).toBeUndefined();
    const slow = stepsOf({ stopStart: { delay: 10 }, recover: everything.recover });
    expect(step(slow.steps, 'stop_start').saving).toBeLessThan(first.saving);
  });

  it('the store that is carried along costs fuel, by its mass and by its auxiliaries', () => {
    const costOf = (change: Partial<Store>) =>
      step(
        stepsOf({ stopStart: { delay: 0 } }, { store: { ...plainStore, ...change } }).steps,
        'store_mass',
      ).saving;
    expect(costOf({})).toBeLessThan(0);
    expect(costOf({ mass: 0 })).toBeLessThan(0);
    expect(costOf({ auxiliaryPower: 0 })).toBeLessThan(0);
    expect(costOf({ mass: 0, auxiliaryPower: 0 })).toBe(0);
    expect(costOf({ mass: 120 })).toBeLessThan(costOf({}));
  });

  it('the store that is carried along takes no fuel for its drag, however fast it turns at first', () => {
    const fast = { ...plainStore, initialSpeed: plainStore.rotor.maxSpeed };
    const [still, turning] = [plainStore, fast].map((store) =>
      step(stepsOf({ stopStart: { delay: 0 } }, { store }).steps, 'store_mass'),
    );
    expect(turning?.saving).toBe(still?.saving);
  });

  it('a recovery that nothing uses saves nothing at all, but what uses it needs it', () => {
    const { recover, assist } = everything;
    const { steps } = stepsOf({ recover, assist });
    const { saving, without } = step(steps, 'recovery');
    expect(saving).toBe(0);
    // Nothing to help with: what is left is the car with the store carried along.
    expectWithin(without.fuel, step(steps, 'store_mass').after.fuel, 1e-12);
    expect(step(steps, 'launch_assist').saving).toBeGreaterThan(0);
  });

  it('assist is one where a strategy helps in one way only', () => {
    const parts = (assist: Behaviours['assist'] & {}) =>
      stepsOf({ assist }).steps.map(({ part }) => part);
    const { assist } = everything;
    const noLaunch = { ...assist, launchBelow: 0 };
    const launchOnly = { ...assist, accelerationAbove: Number.POSITIVE_INFINITY };
    const coverOnly = { ...noLaunch, accelerationAbove: Number.POSITIVE_INFINITY };
    expect(parts(noLaunch)).toEqual(['store_mass', 'acceleration_assist']);
    expect(parts(launchOnly)).toEqual(['store_mass', 'launch_assist']);
    expect(parts(coverOnly)).toEqual(['store_mass', 'acceleration_assist']);
  });

  it('the store is the only one of a strategy that does nothing', () => {
    const { steps, result } = stepsOf({});
    expect(steps.map(({ part }) => part)).toEqual(['store_mass']);
    expect(steps[0]?.after).toBe(result.withStore);
  });

  it('a plug-in is the whole strategy, after the store that is carried along', () => {
    const whole = caseOf(everything);
    const result = runCase(whole);
    const steps = runWaterfall(whole, undefined, result);
    expect(steps.map(({ part }) => part)).toEqual(['store_mass', 'strategy']);
    expect(steps[0]?.after.fuel).toBe(fuelOf({}));
    expect(steps[0]?.without.fuel).toBe(
      fuelOf(everything, { ...plainStore, mass: 0, auxiliaryPower: 0 }),
    );
    expect(steps[1]?.after).toBe(result.withStore);
    expect(steps[1]?.without.fuel).toBe(fuelOf({}));
  });
});
