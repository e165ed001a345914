import { describe, expect, it } from 'vitest';
import { assist } from '../../src/strategy/assist.ts';
import { brakingView, drivingView, off, on, view, wanted } from './views.ts';

const parameters = {
  launchBelow: 6,
  accelerationAbove: 1,
  share: 0.8,
  floor: 0.1,
  coverShortfall: false,
};
const help = assist(parameters);
const cover = assist({ ...parameters, coverShortfall: true });

describe('assisting', () => {
  it('gives its share of the demand below the launch speed, at any acceleration', () => {
    expect(wanted(help, drivingView({ speed: 5.99 }))).toEqual(on(4000));
    expect(wanted(help, drivingView({ speed: 6 }))).toEqual(on());
  });

  it('gives it above the acceleration, at any speed', () => {
    expect(wanted(help, drivingView({ acceleration: 1.01 }))).toEqual(on(4000));
    expect(wanted(help, drivingView({ acceleration: 1 }))).toEqual(on());
  });

  it('gives no more than the store can', () => {
    const see = drivingView({ speed: 2, assistLimit: 1500 });
    expect(wanted(help, see).storePower).toBe(1500);
  });

  it('keeps its floor', () => {
    expect(wanted(help, drivingView({ speed: 2, storeShare: 0.1 })).storePower).toBe(0);
    expect(wanted(help, drivingView({ speed: 2, storeShare: 0.101 })).storePower).toBe(4000);
  });

  it('covers what the engine lacks only when asked to, below the floor as well', () => {
    const see = drivingView({ engineLimit: 3800, storeShare: 0.02 });
    expect(wanted(help, see).storePower).toBe(0);
    expect(wanted(cover, see).storePower).toBe(1200);
    expect(wanted(cover, { ...see, assistLimit: 700 }).storePower).toBe(700);
  });

  it('gives the larger of its share and what the engine lacks', () => {
    const launch = { speed: 2, wheelPower: 10_000, assistLimit: 10_000 };
    expect(wanted(cover, drivingView({ ...launch, engineLimit: 9000 })).storePower).toBe(8000);
    expect(wanted(cover, drivingView({ ...launch, engineLimit: 500 })).storePower).toBe(9500);
  });

  it('does nothing for an engine that has enough', () => {
    expect(wanted(cover, drivingView())).toEqual(on());
  });

  it('does nothing while braking or at rest, or when the engine is to be off', () => {
    expect(wanted(cover, brakingView())).toEqual(on());
    expect(wanted(cover, view({ assistLimit: 9000 }))).toEqual(on());
    expect(wanted(cover, drivingView({ speed: 2 }), off(5000))).toEqual(off(5000));
  });
});
