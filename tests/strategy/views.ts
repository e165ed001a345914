import { type Behaviour, newView, type View, type Want } from '../../src/strategy/contract.ts';

/** A view of a car at rest with a warm engine idling, changed as the test needs it. */
export function view(change: Partial<View> = {}): View {
  return Object.assign(newView(), { duration: 1, engineTime: 100, stopAllowed: true }, change);
}

/** A car that drives at 20 m/s on 5 kW, with 30 kW of engine to spare and a half-full store. */
export function drivingView(change: Partial<View> = {}): View {
  return view({
    speed: 20,
    wheelPower: 5000,
    engineLimit: 35_000,
    assistLimit: 5000,
    recoverLimit: 30_000,
    storeEnergy: 200_000,
    storeShare: 0.5,
    gear: 5,
    ...change,
  });
}

/** A car that brakes with 12 kW, of which the engine would take 4 kW and the store all. */
export function brakingView(change: Partial<View> = {}): View {
  return view({
    speed: 15,
    acceleration: -0.8,
    wheelPower: -12_000,
    engineDrag: 4000,
    recoverLimit: 40_000,
    storeEnergy: 200_000,
    storeShare: 0.5,
    gear: 4,
    ...change,
  });
}

/** What a strategy is given to write into, as before each interval, changed as the test needs it. */
export function freshWant(change: Partial<Want> = {}): Want {
  return { storePower: 0, engineOn: true, clutched: true, ...change };
}

/** What a behaviour makes of a wish. */
export function wanted(
  behaviour: Behaviour,
  see: Readonly<View>,
  before: Partial<Want> = {},
): Want {
  const want = freshWant(before);
  behaviour(see, want);
  return want;
}

/** Engine off and declutched, with this store power. */
export function off(storePower = 0): Want {
  return { storePower, engineOn: false, clutched: false };
}

/** Engine on and in gear, with this store power. */
export function on(storePower = 0): Want {
  return { storePower, engineOn: true, clutched: true };
}
