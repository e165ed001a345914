import { describe, expect, it } from 'vitest';
import { coast } from '../../src/strategy/coast.ts';
import type { Behaviour } from '../../src/strategy/contract.ts';
import { brakingView, drivingView, off, on, view, wanted } from './views.ts';

const parameters = { floor: 0.2, maxSpeed: 25 };

/** A coast that is under way. */
function coasting(): Behaviour {
  const behaviour = coast(parameters);
  expect(wanted(behaviour, brakingView())).toEqual(off(-12_000));
  return behaviour;
}

describe('engine-off coast', () => {
  it('begins when no traction is asked for: engine off, declutched, all braking to the store', () => {
    expect(wanted(coast(parameters), brakingView())).toEqual(off(-12_000));
  });

  it('begins on no demand at all, with nothing for the store to take', () => {
    const want = wanted(coast(parameters), view({ speed: 10, recoverLimit: 9000 }));
    expect(want.engineOn).toBe(false);
    expect(want.clutched).toBe(false);
    expect(want.storePower).toBeCloseTo(0, 12);
  });

  it('does not begin while driving', () => {
    expect(wanted(coast(parameters), drivingView())).toEqual(on());
  });

  it('does not begin where the engine may not stop', () => {
    expect(wanted(coast(parameters), brakingView({ stopAllowed: false }))).toEqual(on());
  });

  it('does not begin at its highest speed or above', () => {
    expect(wanted(coast(parameters), brakingView({ speed: 25 }))).toEqual(on());
    expect(wanted(coast(parameters), brakingView({ speed: 24.9 }))).toEqual(off(-12_000));
  });

  it('takes no more than the store can', () => {
    expect(wanted(coast(parameters), brakingView({ recoverLimit: 7000 }))).toEqual(off(-7000));
  });

  it('once begun, lets the store drive the car', () => {
    expect(wanted(coasting(), drivingView())).toEqual(off(5000));
  });

  it('goes on through driving, braking and standing', () => {
    const behaviour = coasting();
    expect(wanted(behaviour, drivingView())).toEqual(off(5000));
    expect(wanted(behaviour, brakingView())).toEqual(off(-12_000));
    expect(wanted(behaviour, view()).engineOn).toBe(false);
    expect(wanted(behaviour, drivingView())).toEqual(off(5000));
  });

  it('goes on above its highest speed and where no new stop would be allowed', () => {
    const behaviour = coasting();
    expect(wanted(behaviour, brakingView({ speed: 30, stopAllowed: false }))).toEqual(off(-12_000));
    expect(wanted(behaviour, drivingView({ speed: 30, stopAllowed: false }))).toEqual(off(5000));
  });

  it('ends when the store is down to the floor, and the engine drives', () => {
    expect(wanted(coasting(), drivingView({ storeShare: 0.201 }))).toEqual(off(5000));
    expect(wanted(coasting(), drivingView({ storeShare: 0.2 }))).toEqual(on());
  });

  it('ends when the store cannot carry the car alone', () => {
    expect(wanted(coasting(), drivingView({ assistLimit: 4999 }))).toEqual(on());
    expect(wanted(coasting(), drivingView({ assistLimit: 5000 }))).toEqual(off(5000));
  });

  it('once ended, does not go on until no traction is asked for again', () => {
    const behaviour = coasting();
    wanted(behaviour, drivingView({ storeShare: 0.1 }));
    expect(wanted(behaviour, drivingView({ storeShare: 0.9 }))).toEqual(on());
    expect(wanted(behaviour, brakingView())).toEqual(off(-12_000));
    expect(wanted(behaviour, drivingView())).toEqual(off(5000));
  });

  it('below its floor still takes the braking with the engine off', () => {
    expect(wanted(coasting(), brakingView({ storeShare: 0 }))).toEqual(off(-12_000));
  });

  it('has state of its own for each run', () => {
    coasting();
    expect(wanted(coast(parameters), drivingView())).toEqual(on());
  });
});
