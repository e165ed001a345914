import { describe, expect, it } from 'vitest';
import { refine, type Trace } from '../../src/cycle/trace.ts';
import type { Store } from '../../src/physics/store.ts';
import { runBalanced } from '../../src/simulate/balance.ts';
import { fitStore } from '../../src/simulate/car.ts';
import { Demand } from '../../src/simulate/demand.ts';
import type { Strategy } from '../../src/strategy/contract.ts';
import { plainCar, plainStore } from '../fixtures.ts';
import { flat } from './drives.ts';

const PERIOD = 40;

/** 12.5 to 27.5 m/s and back in 40 s, twice: no stop and no kink. */
function swell(dt: number): Trace {
  const count = Math.round((2 * PERIOD) / dt);
  const time = Array.from({ length: count + 1 }, (_, k) => k * dt);
  return flat(
    time,
    time.map((t) => 20 - 7.5 * Math.cos((2 * Math.PI * t) / PERIOD)),
  );
}

/** Without a spin loss, which comes and goes at once and so hangs on the sampling to first order. */
const store: Store = {
  ...plainStore,
  losses: { form: 'efficiency', share: 0.12 },
  transmission: { type: 'variator', low: 15, high: 250 },
  initialSpeed: 0.7 * plainStore.rotor.maxSpeed,
};

/** One gear alone, since the instant of a gear change hangs on the sampling. */
const car = fitStore(
  {
    ...plainCar,
    gearbox: {
      ...plainCar.gearbox,
      ratios: Float64Array.of(1.05),
      efficiency: Float64Array.of(0.97),
      choice: { by: 'thresholds', up: new Float64Array(0), down: new Float64Array(0) },
    },
  },
  store,
);

/**
 * Takes a share of what braking the engine's overrun leaves, and helps the more the fuller the store
 * was at the start of the lap. A level looked at in each interval would lag by half a step.
 */
const gentle = (): Strategy => {
  let level: number | undefined;
  return {
    name: 'gentle',
    decide(see, want) {
      level ??= see.storeShare;
      const braking = -see.wheelPower - see.engineDrag;
      if (see.wheelPower > 0) {
        want.storePower = Math.min(0.4 * level * see.wheelPower, see.assistLimit);
      } else if (braking > 0) want.storePower = -Math.min(0.3 * braking, see.recoverLimit);
    },
  };
};

/** Balanced fuel with the step halved once more each time. */
function fuels(traceAt: (halvings: number) => Trace): number[] {
  return [0, 1, 2, 3, 4, 5, 6].map((halvings) => {
    const result = runBalanced(car, store, new Demand(car, store, traceAt(halvings)), gentle);
    const { ledger } = result.run;
    expect(result.balance.method).toBe('repetition');
    expect(ledger.shortfall).toBe(0);
    expect(ledger.recoveredBraking).toBeGreaterThan(50_000);
    expect(ledger.assisted).toBeGreaterThan(50_000);
    // The laps end within 1e-5 of balance, which would hide the finest differences: what is left is
    // taken off at the price of a joule, 1 / (0.44 · 0.97 · 0.98) J of fuel.
    return result.fuel - ledger.storeChange / (0.44 * 0.97 * 0.98);
  });
}

/** Differences of neighbours. */
function differences(values: readonly number[]): number[] {
  return values.slice(1).map((value, k) => Math.abs(value - values[k]!));
}

describe('the balanced fuel of a smooth drive', () => {
  it('converges to second order when the same trace is sampled more finely', () => {
    const steps = differences(fuels((halvings) => refine(swell(2), 2 ** halvings)));
    // Every difference a quarter of the one before: means over an interval are exact for the road,
    // and of second order for engine, ratio and rotor.
    for (let k = 1; k < steps.length; k++) {
      expect(Math.log2(steps[k - 1]! / steps[k]!), `halving ${k}`).toBeCloseTo(2, 1);
    }
  });

  it('converges when the drive itself is sampled more finely', () => {
    const list = fuels((halvings) => swell(2 / 2 ** halvings));
    const steps = differences(list);
    // Where overrun begins and ends falls somewhere within an interval, so that single differences
    // scatter; two halvings on each is smaller, and over all six the order is near 2.
    for (let k = 2; k < steps.length; k++) expect(steps[k]).toBeLessThan(steps[k - 2]!);
    const order = Math.log2(steps[0]! / steps.at(-1)!) / (steps.length - 1);
    expect(order).toBeGreaterThan(1.8);
    expect(steps.at(-1)! / list.at(-1)!).toBeLessThan(1e-6);
  });
});
