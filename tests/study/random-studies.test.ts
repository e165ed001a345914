import { describe, expect, it } from 'vitest';
import type { Plan } from '../../src/study/plan.ts';
import { between, oneOf, seeded } from '../seeded.ts';
import { casesOf, ONE, planOf } from './planned.ts';

const PATHS = [
  ['car.mass_kg', 1200, 2500],
  ['car.electrics.load_W', 100, 900],
  ['store.mass_kg', 10, 90],
  ['store.power_limit_kW', 10, 90],
  ['strategy.coast.floor_pct', 0, 50],
] as const;

/** Some of several things, one at least, in their order. */
function some<T>(random: () => number, things: readonly T[]): T[] {
  const chosen = things.filter(() => random() < 0.5);
  return chosen.length > 0 ? chosen : [oneOf(random, things)];
}

function randomStudy(random: () => number) {
  const vary = some(random, PATHS).map(([path, low, high]) => {
    const start = between(random, low, high);
    const stop = between(random, low, high);
    const count = 2 + Math.floor(3 * random());
    const form = oneOf(random, ['range', 'logarithmic', 'list'] as const);
    if (form === 'list')
      return { path, list: Array.from({ length: count }, () => between(random, low, high)) };
    return { path, [form]: { start: start + 1e-3, stop, count } };
  });
  return {
    ...ONE,
    cars: some(random, ['estate', 'van', 'saloon']),
    stores: some(random, ['rim-45', 'rim-60', 'ideal']),
    strategies: some(random, ['coast', 'duty-cycle']),
    cycles: some(random, ['udds', 'nycc', 'hwfet']),
    vary,
  };
}

/** What tells a case from the others of its plan. */
function texts(plan: Plan): string[] {
  return casesOf(plan).map(({ names, values }) => JSON.stringify([names, values]));
}

describe('random studies', () => {
  it('have as many cases as combinations, each with a hash and values of its own', async () => {
    const random = seeded(31);
    for (let round = 0; round < 12; round++) {
      const study = randomStudy(random);
      const plan = await planOf(study);
      const values = plan.shape.axes.map(({ count }) => count);
      const { cars, stores, strategies, cycles } = study;
      const sizes = [cars.length, stores.length, strategies.length, ...values, cycles.length];
      expect(plan.count).toBe(sizes.reduce((product, size) => product * size, 1));
      const cases = casesOf(plan);
      expect(new Set(cases.map(({ hash }) => hash)).size).toBe(plan.count);
      expect(new Set(texts(plan)).size).toBe(plan.count);
      expect(cases.map(({ index }) => index)).toEqual(cases.map((_, index) => index));
      expect(cases.map(({ hash }) => hash)).toEqual(cases.map((_, index) => plan.hashAt(index)));
    }
  });

  it('are what is left of all combinations when some are excluded, in the same order', async () => {
    const random = seeded(32);
    for (let round = 0; round < 12; round++) {
      const study = randomStudy(random);
      const whole = await planOf(study);
      const chosen = casesOf(whole)[Math.floor(random() * whole.count)]!;
      const [path] = whole.varied;
      const limit = chosen.values[0]!;
      const exclude = [{ store: chosen.names.store, [path!]: { at_most: limit } }];
      const kept = casesOf(whole).filter(
        ({ names, values }) => names.store !== chosen.names.store || values[0]! > limit,
      );
      if (kept.length === 0) continue;
      const plan = await planOf({ ...study, exclude });
      expect(plan.shape.excluded).toBe(whole.count - kept.length);
      expect(casesOf(plan).map(({ hash }) => hash)).toEqual(kept.map(({ hash }) => hash));
      expect(texts(plan)).toEqual(kept.map(({ names, values }) => JSON.stringify([names, values])));
    }
  });

  it('have the same cases when they list them one by one', async () => {
    const random = seeded(33);
    for (let round = 0; round < 5; round++) {
      const plan = await planOf(randomStudy(random));
      const cases = casesOf(plan).map(({ names, values }) => ({
        ...names,
        set: Object.fromEntries(plan.varied.map((path, k) => [path, values[k]])),
      }));
      const listed = await planOf({ name: 'listed', cases });
      expect(casesOf(listed).map(({ hash }) => hash)).toEqual(
        casesOf(plan).map(({ hash }) => hash),
      );
      expect(texts(listed)).toEqual(texts(plan));
    }
  });
});
