import { describe, expect, it } from 'vitest';
import { type Behaviours, combine } from '../../src/strategy/combine.ts';
import type { Strategy, View, Want } from '../../src/strategy/contract.ts';
import { between, seeded } from '../seeded.ts';
import { brakingView, drivingView, freshWant, off, on, view } from './views.ts';

const every: Required<Behaviours> = {
  stopStart: { delay: 0 },
  keepOff: { stopAbove: 0.6, floor: 0.1, maxPower: 8000 },
  coast: { floor: 0.2, maxSpeed: 40 },
  recover: { share: 1, minPower: 0 },
  assist: { launchBelow: 6, accelerationAbove: 1, share: 0.8, floor: 0.1, coverShortfall: true },
  reserve: { target: 0.7, chargePower: 6000, demandBelow: 15_000, speedAbove: 8 },
};

function decide(strategy: Strategy, see: Readonly<View>): Want {
  const want = freshWant();
  strategy.decide(see, want);
  return want;
}

describe('a combined strategy', () => {
  it('bears its name', () => {
    expect(combine('mine', {}).name).toBe('mine');
  });

  it('without behaviours wants nothing of the store, and the engine on', () => {
    const none = combine('none', {});
    for (const see of [view(), drivingView(), brakingView()])
      expect(decide(none, see)).toEqual(on());
  });

  it.each<[keyof Behaviours, View, Want]>([
    ['stopStart', view(), off()],
    ['keepOff', drivingView({ storeShare: 0.8 }), off(5000)],
    ['coast', brakingView(), off(-12_000)],
    ['recover', brakingView(), on(-8000)],
    ['assist', drivingView({ speed: 3 }), on(4000)],
    ['reserve', drivingView(), on(-6000)],
  ])('of %s alone does what that behaviour does', (key, see, want) => {
    expect(decide(combine(key, { [key]: every[key] }), see)).toEqual(want);
  });

  it('coasts rather than recovers behind the engine’s drag', () => {
    const strategy = combine('both', { coast: every.coast, recover: every.recover });
    expect(decide(strategy, brakingView())).toEqual(off(-12_000));
    // Where the engine may not stop, what it leaves is recovered.
    const other = combine('both', { coast: every.coast, recover: every.recover });
    expect(decide(other, brakingView({ stopAllowed: false }))).toEqual(on(-8000));
  });

  it('recovers all of it once the engine is kept off', () => {
    const strategy = combine('both', { keepOff: every.keepOff, recover: every.recover });
    expect(decide(strategy, brakingView({ engineOn: false }))).toEqual(off(-12_000));
  });

  it('does not assist or charge a car that the store carries', () => {
    const { keepOff, assist, reserve } = every;
    const strategy = combine('three', { keepOff, assist, reserve });
    expect(decide(strategy, drivingView({ storeShare: 0.65, speed: 3 }))).toEqual(off(5000));
  });

  it('does not charge a store that assists', () => {
    const { assist, reserve } = every;
    const strategy = combine('both', { assist, reserve: { ...reserve, speedAbove: 0 } });
    expect(decide(strategy, drivingView({ speed: 3 }))).toEqual(on(4000));
    expect(decide(strategy, drivingView())).toEqual(on(-6000));
  });

  it('keeps the engine off at rest that a coast has stopped, and restarts it when it must', () => {
    const strategy = combine('all', every);
    expect(decide(strategy, brakingView())).toEqual(off(-12_000));
    expect(decide(strategy, view({ engineOn: false })).engineOn).toBe(false);
    expect(decide(strategy, drivingView({ engineOn: false, storeShare: 0.05 })).engineOn).toBe(
      true,
    );
  });

  it('is made with fresh state each time', () => {
    const first = combine('all', every);
    decide(first, brakingView());
    expect(decide(first, drivingView()).engineOn).toBe(false);
    expect(decide(combine('all', every), drivingView()).engineOn).toBe(true);
  });

  it('is a pure function of what it has seen', () => {
    const random = seeded(8);
    const seen = Array.from({ length: 500 }, () => anyView(random));
    const once = () => {
      const strategy = combine('all', every);
      return seen.map((see) => decide(strategy, see));
    };
    expect(once()).toEqual(once());
  });

  it('never leaves the envelope nor changes what it sees, whatever it sees', () => {
    const random = seeded(9);
    const keys = Object.keys(every) as (keyof Behaviours)[];
    let assists = 0;
    let recovers = 0;
    for (let round = 0; round < 400; round++) {
      const chosen = Object.fromEntries(
        keys.filter(() => random() < 0.6).map((key) => [key, every[key]]),
      );
      const strategy = combine('some', chosen);
      for (let k = 0; k < 20; k++) {
        const see = Object.freeze(anyView(random));
        const { storePower, engineOn, clutched } = decide(strategy, see);
        expect(storePower).toBeLessThanOrEqual(see.assistLimit);
        expect(-storePower).toBeLessThanOrEqual(see.recoverLimit);
        // An engine that is off has its clutch open, so that nobody has to guess.
        if (!engineOn) expect(clutched).toBe(false);
        if (storePower > 0) assists++;
        if (storePower < 0) recovers++;
      }
    }
    expect(assists).toBeGreaterThan(100);
    expect(recovers).toBeGreaterThan(100);
  });
});

/** Driving, braking or standing, with limits as the simulator would show them. */
function anyView(random: () => number): View {
  const kind = random();
  const common = {
    speed: between(random, 0, 40),
    acceleration: between(random, -3, 3),
    storeShare: between(random, -0.1, 1),
    engineOn: random() < 0.5,
    stopAllowed: random() < 0.7,
  };
  if (kind < 0.4) {
    const wheelPower = between(random, 0, 60_000);
    const engineLimit = between(random, 0, 80_000);
    return drivingView({
      ...common,
      wheelPower,
      engineLimit,
      assistLimit: Math.min(wheelPower, between(random, 0, 60_000)),
      recoverLimit: Math.max(0, Math.min(engineLimit - wheelPower, between(random, 0, 60_000))),
    });
  }
  if (kind < 0.8) {
    return brakingView({
      ...common,
      wheelPower: -between(random, 0, 60_000),
      engineDrag: between(random, 0, 20_000),
      recoverLimit: between(random, 0, 60_000),
    });
  }
  return view({ ...common, speed: 0, acceleration: 0 });
}
