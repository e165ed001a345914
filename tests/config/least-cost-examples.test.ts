import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { loadCase } from '../../src/config/load.ts';
import { builtInCycles } from '../../src/cycle/library.ts';
import { fitStore } from '../../src/simulate/car.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { runTuned } from '../../src/simulate/tuned.ts';
import { EXAMPLES } from './drafts.ts';

async function driven(strategy: string, cycle: string) {
  const { subject } = await loadCase({
    car: join(EXAMPLES, 'cars/estate.json'),
    store: join(EXAMPLES, 'stores/rim-45.json'),
    strategy: join(EXAMPLES, 'strategies', `${strategy}.json`),
    cycle,
  });
  const { car, store, trace, makeStrategy } = subject;
  const fitted = fitStore(car, store);
  const tuned = runTuned(fitted, store, new Demand(fitted, store, trace), makeStrategy);
  const { distance, engineStarts } = tuned.run.ledger;
  return { fuel: tuned.fuel, startsPerKm: (engineStarts / distance) * 1000 };
}

describe('the example of least cost', () => {
  const cycles = builtInCycles.map(({ name }) => name);

  it.each(cycles)(
    'burns less than the other engine-off examples, with few starts, on %s',
    async (cycle) => {
      const least = await driven('least-cost', cycle);
      const coast = await driven('coast', cycle);
      const turns = await driven('duty-cycle', cycle);
      const adaptive = await driven('least-cost-adaptive', cycle);
      expect(least.fuel).toBeLessThan(0.99 * coast.fuel);
      expect(least.fuel).toBeLessThan(0.99 * turns.fuel);
      // A rule whose levels were set by hand starts the engine a little less often on three of the ten.
      expect(least.startsPerKm).toBeLessThan(1.4 * turns.startsPerKm);
      // What it costs not to know the cycle, at most: in slow traffic, and where power is short.
      expect(adaptive.fuel).toBeLessThan(1.08 * least.fuel);
    },
  );
});
