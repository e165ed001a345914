import { describe, expect, it } from 'vitest';
import { recover } from '../../src/strategy/recover.ts';
import { brakingView, drivingView, off, on, view, wanted } from './views.ts';

const all = recover({ share: 1, minPower: 0 });

describe('recovering', () => {
  it('takes what the engine’s overrun leaves', () => {
    expect(wanted(all, brakingView())).toEqual(on(-8000));
  });

  it('takes everything when the engine is declutched or off', () => {
    expect(wanted(all, brakingView(), { clutched: false }).storePower).toBe(-12_000);
    expect(wanted(all, brakingView(), off())).toEqual(off(-12_000));
  });

  it('takes its share of it', () => {
    expect(wanted(recover({ share: 0.25, minPower: 0 }), brakingView()).storePower).toBe(-2000);
  });

  it('takes no more than the store can', () => {
    expect(wanted(all, brakingView({ recoverLimit: 3000 })).storePower).toBe(-3000);
    expect(wanted(all, brakingView({ recoverLimit: 0 })).storePower).toBeCloseTo(0, 12);
  });

  it('leaves braking of no more than its least power to the brakes', () => {
    expect(wanted(recover({ share: 1, minPower: 7999 }), brakingView()).storePower).toBe(-8000);
    expect(wanted(recover({ share: 1, minPower: 8000 }), brakingView()).storePower).toBe(0);
  });

  it('does nothing when the engine’s drag exceeds the braking', () => {
    expect(wanted(all, brakingView({ engineDrag: 12_000 }))).toEqual(on());
    expect(wanted(all, brakingView({ engineDrag: 20_000 }))).toEqual(on());
  });

  it('does nothing while driving or at rest', () => {
    expect(wanted(all, drivingView())).toEqual(on());
    expect(wanted(all, view({ recoverLimit: 5000 }))).toEqual(on());
  });

  it('leaves alone what a behaviour before it wants of the store', () => {
    expect(wanted(all, brakingView(), { storePower: -500 }).storePower).toBe(-500);
  });
});
