import { describe, expect, it } from 'vitest';
import { stopStart } from '../../src/strategy/stop-start.ts';
import { brakingView, drivingView, off, on, view, wanted } from './views.ts';

describe('stop-start', () => {
  it('without delay stops the engine in the first interval at rest', () => {
    expect(wanted(stopStart({ delay: 0 }), view())).toEqual(off());
  });

  it('lets the engine run until the car has stood for the delay', () => {
    const behaviour = stopStart({ delay: 3 });
    const list = [0, 1, 2, 3, 4].map(() => wanted(behaviour, view()).engineOn);
    expect(list).toEqual([true, true, true, false, false]);
  });

  it('counts time, not intervals', () => {
    const behaviour = stopStart({ delay: 3 });
    expect(wanted(behaviour, view({ duration: 2.5 }))).toEqual(on());
    expect(wanted(behaviour, view({ duration: 0.5 }))).toEqual(on());
    expect(wanted(behaviour, view({ duration: 0.01 }))).toEqual(off());
  });

  it('counts afresh after the car has moved', () => {
    const behaviour = stopStart({ delay: 2 });
    const list = [view(), view(), view(), drivingView(), view(), view(), view()].map(
      (see) => wanted(behaviour, see).engineOn,
    );
    expect(list).toEqual([true, true, false, true, true, true, false]);
  });

  it('does nothing while the car moves', () => {
    const behaviour = stopStart({ delay: 0 });
    expect(wanted(behaviour, drivingView())).toEqual(on());
    expect(wanted(behaviour, brakingView())).toEqual(on());
  });

  it('waits until the engine may stop, with its time at rest kept', () => {
    const behaviour = stopStart({ delay: 2 });
    for (let k = 0; k < 5; k++) {
      expect(wanted(behaviour, view({ stopAllowed: false }))).toEqual(on());
    }
    expect(wanted(behaviour, view())).toEqual(off());
  });

  it('has state of its own for each run', () => {
    const stood = stopStart({ delay: 1 });
    wanted(stood, view());
    expect(wanted(stood, view())).toEqual(off());
    expect(wanted(stopStart({ delay: 1 }), view())).toEqual(on());
  });
});
