import { describe, expect, it } from 'vitest';
import { newOutcome, type Outcome, type View, type Want } from '../../src/strategy/contract.ts';
import { type LeastCostParameters, leastCost } from '../../src/strategy/least-cost.ts';
import { brakingView, drivingView, freshWant, off, on, view } from './views.ts';

const parameters: LeastCostParameters = {
  factor: 2.5,
  startPrice: 0,
  startHorizon: 1,
  stopHorizon: 10,
};

/** Answers for an engine that takes 3 J of fuel a joule and 4 kJ a second beside, and a lossless store. */
function simple(see: View, change: (want: Readonly<Want>) => Partial<Outcome> = () => ({})): View {
  const outcome = (want: Readonly<Want>): Outcome => ({
    ...newOutcome(),
    fuel: want.engineOn ? 4000 + 3 * Math.max(0, see.wheelPower - want.storePower) : 0,
    storeChange: -want.storePower,
    engineOn: want.engineOn,
    engineStarted: want.engineOn && !see.engineOn,
    ...change(want),
  });
  return Object.assign(see, { outcome });
}

function decided(see: View, change: Partial<LeastCostParameters> = {}): Want {
  const want = freshWant();
  leastCost('test', { ...parameters, ...change })().decide(see, want);
  return want;
}

describe('the least equivalent cost', () => {
  it('lets the store help as soon as its energy counts for less than the fuel it saves', () => {
    const see = () => simple(drivingView({ assistLimit: 4000 }));
    expect(decided(see(), { factor: 2.9 })).toEqual(on(4000));
    expect(decided(see(), { factor: 3.1 }).storePower).toBeLessThan(0);
  });

  it('charges with all that the engine can spare where every joule is as cheap', () => {
    const see = simple(drivingView({ assistLimit: 4000 }));
    expect(decided(see, { factor: 3.1 })).toEqual(on(-30_000));
  });

  it('charges with less where less is cheaper', () => {
    const see = drivingView();
    // 3 J a joule up to 9 kW, 6 J above: of 3.75, 7.5, 15 and 30 kW the second costs least at 4 J.
    const dear = simple(see, ({ storePower }) => {
      const power = see.wheelPower - storePower;
      return { fuel: 4000 + 3 * power + 3 * Math.max(0, power - see.wheelPower - 9000) };
    });
    expect(decided(dear, { factor: 4, stopHorizon: 0.1, startPrice: 1e9 })).toEqual(on(-7500));
  });

  it('stops the engine where the store carries the car and what it saves is worth it', () => {
    // A second of engine takes 19 kJ, the store instead 5 kJ at the factor.
    expect(decided(simple(drivingView()), { factor: 2.5 })).toEqual(off(5000));
    expect(decided(simple(drivingView({ stopAllowed: false })), { factor: 2.5 })).toEqual({
      storePower: 5000,
      engineOn: true,
      clutched: true,
    });
  });

  it('counts a share of the next start at a stop, and of the start at a start', () => {
    // At rest a running engine burns 4 kJ a second: a start of 30 kJ has to be earned in 7.5 s.
    const standing = (change: Partial<View> = {}) => simple(view({ startFuel: 30_000, ...change }));
    expect(decided(standing(), { stopHorizon: 8 }).engineOn).toBe(false);
    expect(decided(standing(), { stopHorizon: 7 }).engineOn).toBe(true);
    // Half the interval, half the gain and half the share: the same decision.
    const half = (stopHorizon: number) => {
      const see = view({ startFuel: 30_000, duration: 0.5 });
      return decided(
        simple(see, ({ engineOn }) => ({ fuel: engineOn ? 2000 : 0 })),
        { stopHorizon },
      ).engineOn;
    };
    expect(half(8)).toBe(false);
    expect(half(7)).toBe(true);
  });

  it('starts the engine only where that is worth the share of the start', () => {
    // Fuel with a start is 19 kJ + 30 kJ, without 5 kJ at a factor of 5: 6 kJ a second are won.
    const see = () => {
      const driving = drivingView({ engineOn: false, startFuel: 30_000, recoverLimit: 0 });
      return simple(driving, ({ engineOn, storePower }) => ({
        fuel: engineOn ? 34_000 + 3 * (5000 - storePower) : 0,
      }));
    };
    expect(decided(see(), { factor: 5, startHorizon: 4 })).toEqual(off(5000));
    expect(decided(see(), { factor: 5, startHorizon: 6 })).toEqual(on(0));
  });

  it('counts a price of its own and the debt of a start beside its fuel', () => {
    const see = () => simple(view({ startFuel: 10_000, startDebt: 5000, debtPrice: 4 }));
    expect(decided(see(), { stopHorizon: 8 }).engineOn).toBe(false);
    expect(decided(see(), { stopHorizon: 8, startPrice: 3000 }).engineOn).toBe(true);
  });

  it('charges what the battery comes to owe', () => {
    const owing = (debtPrice: number) =>
      simple(view({ debtPrice }), ({ engineOn }) => ({ debtChange: engineOn ? 0 : 1000 }));
    expect(decided(owing(3.9)).engineOn).toBe(false);
    expect(decided(owing(4.1)).engineOn).toBe(true);
  });

  it('leaves no work undone that can be done, whatever that takes', () => {
    const short = simple(
      drivingView({ engineLimit: 3000, assistLimit: 4000 }),
      ({ storePower }) => ({
        shortfall: Math.max(0, 5000 - 3000 - storePower),
      }),
    );
    expect(decided(short, { factor: 20 }).storePower).toBeGreaterThanOrEqual(2000);
  });

  it('recovers all in braking, with the engine off where its drag is worth more than a start', () => {
    const braking = (startFuel: number) =>
      simple(brakingView({ startFuel }), ({ engineOn, clutched, storePower }) => ({
        fuel: engineOn && !clutched ? 12_000 : 0,
        storeChange: Math.min(-storePower, 12_000 - (clutched ? 4000 : 0)),
      }));
    // The drag takes 4 kJ, 10 kJ at the factor; idling instead burns more.
    expect(decided(braking(90_000))).toEqual(off(-40_000));
    expect(decided(braking(110_000))).toEqual(on(-40_000));
  });

  it('recovers nothing that counts for nothing', () => {
    expect(decided(simple(brakingView({ stopAllowed: false })), { factor: 0 })).toEqual(on());
  });

  it('lets the factor fall as the store fills, evenly and not below nothing', () => {
    const helped = (storeShare: number, gain: number) => {
      const see = simple(drivingView({ storeShare, recoverLimit: 0, assistLimit: 4000 }));
      return decided(see, { factor: 3, feedback: { target: 0.4, gain } }).storePower > 0;
    };
    expect(helped(0.41, 1)).toBe(true);
    expect(helped(0.39, 1)).toBe(false);
    const see = simple(brakingView({ storeShare: 1, stopAllowed: false }));
    expect(decided(see, { feedback: { target: 0.5, gain: 50 } }).storePower).toBe(0);
  });

  it('keeps nothing from one interval to the next', () => {
    const strategy = leastCost('test', parameters)();
    const answers = [drivingView(), brakingView(), drivingView()].map((see) => {
      const want = freshWant();
      strategy.decide(simple(see), want);
      return want;
    });
    expect(answers[2]).toEqual(answers[0]);
  });

  it('offers its factor for a search where the file leaves it open', () => {
    const open = leastCost('test', { ...parameters, factor: 'search' });
    const { search } = open;
    expect(search?.numbers.map(({ name }) => name)).toEqual(['factor']);
    const { rungs } = search!.numbers[0]!;
    expect([rungs[0], rungs.at(-1)]).toEqual([1.5, 6]);
    const want = freshWant();
    search?.make([2.9]).decide(simple(drivingView({ assistLimit: 4000 })), want);
    expect(want).toEqual(on(4000));
    expect(leastCost('test', parameters).search).toBeUndefined();
  });

  it('offers its gain and the price of a start as well, each where it is left open', () => {
    const { search } = leastCost('test', {
      ...parameters,
      factor: 'search',
      feedback: { target: 0.5, gain: 'search' },
      startPrice: 'search',
    });
    expect(search?.numbers.map(({ name }) => name)).toEqual(['factor', 'gain', 'startPrice']);
    for (const { rungs, start } of search!.numbers) {
      expect(rungs).toContain(start);
      expect(rungs.toSorted((a, b) => a - b)).toEqual(rungs);
    }
    const helped = (storeShare: number, gain: number) => {
      const see = simple(drivingView({ storeShare, recoverLimit: 0, assistLimit: 4000 }));
      const want = freshWant();
      search?.make([3, gain, 0]).decide(see, want);
      return want.storePower > 0;
    };
    // A constant factor of 3 is the price of the fuel itself; from an empty store nothing is given.
    expect(helped(0.1, 1)).toBe(false);
    expect(helped(0.9, 1)).toBe(true);
    expect(helped(0.1, 0)).toBe(helped(0.9, 0));
    const rested = (startPrice: number) => {
      const want = freshWant();
      search?.make([3, 0, startPrice]).decide(simple(view({ startFuel: 10_000 })), want);
      return !want.engineOn;
    };
    // 4 kJ a second at rest over a stop horizon of 10 s earn 40 kJ.
    expect(rested(29_000)).toBe(true);
    expect(rested(31_000)).toBe(false);
    const given = leastCost('test', { ...parameters, factor: 'search', startPrice: 5 });
    expect(given.search?.numbers).toHaveLength(1);
  });
});
