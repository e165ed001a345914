import { describe, expect, it } from 'vitest';
import { keepOff } from '../../src/strategy/keep-off.ts';
import { brakingView, drivingView, off, on, view, wanted } from './views.ts';

const keep = keepOff({ stopAbove: 0.6, floor: 0.1, maxPower: 8000 });
const offNow = { engineOn: false } as const;

describe('keeping the engine off', () => {
  it('stops a running engine above the upper level and lets the store drive', () => {
    expect(wanted(keep, drivingView({ storeShare: 0.61 }))).toEqual(off(5000));
    expect(wanted(keep, drivingView({ storeShare: 0.6 }))).toEqual(on());
  });

  it('keeps an engine off down to the floor', () => {
    expect(wanted(keep, drivingView({ ...offNow, storeShare: 0.11 }))).toEqual(off(5000));
    expect(wanted(keep, drivingView({ ...offNow, storeShare: 0.1 }))).toEqual(on());
  });

  it('between floor and upper level leaves the engine as it is', () => {
    const see = drivingView({ storeShare: 0.4 });
    expect(wanted(keep, see)).toEqual(on());
    expect(wanted(keep, { ...see, ...offNow })).toEqual(off(5000));
  });

  it('lets the engine drive above the highest power, on or off', () => {
    const hard = { wheelPower: 8001, assistLimit: 8001, storeShare: 0.9 };
    expect(wanted(keep, drivingView(hard))).toEqual(on());
    expect(wanted(keep, drivingView({ ...hard, ...offNow }))).toEqual(on());
    const soft = { wheelPower: 8000, assistLimit: 8000, storeShare: 0.9 };
    expect(wanted(keep, drivingView(soft))).toEqual(off(8000));
  });

  it('lets the engine drive what the store cannot carry alone', () => {
    expect(wanted(keep, drivingView({ storeShare: 0.9, assistLimit: 4999 }))).toEqual(on());
    const see = drivingView({ ...offNow, storeShare: 0.9, assistLimit: 4999 });
    expect(wanted(keep, see)).toEqual(on());
  });

  it('does not stop an engine that may not stop, nor keep off one that may not stay off', () => {
    expect(wanted(keep, drivingView({ storeShare: 0.9, stopAllowed: false }))).toEqual(on());
    const see = drivingView({ ...offNow, storeShare: 0.9, stopAllowed: false });
    expect(wanted(keep, see)).toEqual(on());
  });

  it('while braking or at rest leaves the engine as it is, on or off', () => {
    for (const see of [brakingView(), view()]) {
      expect(wanted(keep, see)).toEqual(on());
      expect(wanted(keep, { ...see, ...offNow })).toEqual(off());
    }
  });

  it('while braking leaves the wish for the store to others', () => {
    expect(wanted(keep, brakingView(offNow), { storePower: -100 })).toEqual(off(-100));
  });
});
