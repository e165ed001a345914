import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { loadCase } from '../../src/config/load.ts';
import { fitStore } from '../../src/simulate/car.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { run } from '../../src/simulate/run.ts';
import { copyState } from '../../src/simulate/state.ts';
import { totalFuel } from '../../src/simulate/total-fuel.ts';
import { runTuned, tunedStrategy } from '../../src/simulate/tuned.ts';
import { EXAMPLES } from './drafts.ts';

/** Sizes of the store, in equal ratios from 25 to 250 kJ. */
const SIZES = Array.from({ length: 12 }, (_, i) => 25e3 * 10 ** (i / 11));

/** Laps over which a limit cycle shows its mean, and laps until it has come to be one. */
const MEAN_LAPS = 24;
const EARLY_LAPS = 12;

/**
 * A lap of 160 s has some four engine starts, and what the engine gives the store comes in a few coarse
 * shares: a single decision makes up to a hundredth of the fuel.
 */
const ONE_DECISION = 0.012;

interface Found {
  readonly size: number;
  readonly fuel: number;
  /** Mean fuel of many laps on end, which gain and lose nothing in the long run [J] */
  readonly lasting: number;
}

/** The example of least cost, on the trace of the example study size-limit, from size to size. */
async function found(): Promise<Found[]> {
  const { subject } = await loadCase({
    car: join(EXAMPLES, 'cars/estate.json'),
    store: join(EXAMPLES, 'stores/rim-60.json'),
    strategy: join(EXAMPLES, 'strategies/least-cost.json'),
    cycle: 'japan-10-15[0..159]',
  });
  const { trace, makeStrategy } = subject;
  return SIZES.map((size) => {
    const { rotor } = subject.store;
    const store = {
      ...subject.store,
      rotor: { ...rotor, inertia: (2 * size) / rotor.maxSpeed ** 2 },
    };
    const car = fitStore(subject.car, store);
    const demand = new Demand(car, store, trace);
    const tuned = runTuned(car, store, demand, makeStrategy);
    let state = tuned.run.start;
    let sum = 0;
    for (let i = 0; i < EARLY_LAPS + MEAN_LAPS; i++) {
      const lap = run(car, store, demand, tunedStrategy(makeStrategy, tuned.found), state);
      state = copyState(tuned.run.start, lap.end.rotorSpeed);
      if (i >= EARLY_LAPS) sum += totalFuel(car, lap);
    }
    return { size, fuel: tuned.fuel, lasting: sum / MEAN_LAPS };
  });
}

describe('the example of least cost with stores of rising size', () => {
  let all: Found[] = [];
  beforeAll(async () => {
    all = await found();
  }, 60_000);

  it('burns no more with any store than with a smaller one, but for what one decision makes', () => {
    let least = Number.POSITIVE_INFINITY;
    for (const { size, fuel } of all) {
      expect(fuel, `${size} J`).toBeLessThan((1 + ONE_DECISION) * least);
      least = Math.min(least, fuel);
    }
    expect(all.at(-1)!.fuel).toBeLessThan(0.76 * all[0]!.fuel);
  });

  it('burns in many laps on end what it is said to burn in one', () => {
    for (const { size, fuel, lasting } of all) {
      expect(Math.abs(lasting / fuel - 1), `${size} J`).toBeLessThan(1e-3);
    }
  });
});
