import { describe, expect, it } from 'vitest';
import { storeFrom } from '../../src/config/load.ts';
import { documentOf, exampleData, folderWith, problemsOf } from './drafts.ts';

// biome-ignore lint/suspicious/noExplicitAny: a draft may be wrong in any way
type Draft = any;

/** Problems of the rim of 60 kW after a change. */
function problemsAfter(change: (store: Draft) => void, folder?: string) {
  const store = exampleData('stores/rim-60.json');
  change(store);
  return problemsOf(storeFrom(documentOf(store, folder)));
}

describe('a store file', () => {
  it.each([
    ['neither inertia nor energy', {}, 'rotor', 'missing-key'],
    [
      'both inertia and energy',
      { inertia_kg_m2: 0.03, energy_at_max_kJ: 540 },
      'rotor.energy_at_max_kJ',
      'conflicting-keys',
    ],
  ])('refuses %s', async (_what, given, path, code) => {
    const problems = await problemsAfter((store) => {
      delete store.rotor.energy_at_max_kJ;
      Object.assign(store.rotor, given);
    });
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({ path, code });
    expect(problems[0]?.expected).toContain('one of `inertia_kg_m2` and `energy_at_max_kJ`');
  });

  it.each([
    [
      'a rotor range upside down',
      (store: Draft) => {
        store.rotor.min_speed_rpm = 60_000;
      },
      'rotor.min_speed_rpm',
      'below max_speed_rpm, 60000',
    ],
    [
      'a ratio range upside down',
      (store: Draft) => {
        store.transmission.ratio_high = 40;
      },
      'transmission.ratio_high',
      'above ratio_low, 50',
    ],
    [
      'steps out of order',
      (store: Draft) => {
        store.transmission = { type: 'stepped', ratios: [60, 220, 115] };
      },
      'transmission.ratios[2]',
      'more than 220',
    ],
    [
      'losses of an ideal transmission',
      (store: Draft) => {
        store.transmission = { type: 'ideal' };
      },
      'losses',
      'no `losses` beside an ideal transmission',
    ],
    [
      'a variator without losses',
      (store: Draft) => {
        delete store.losses;
      },
      'losses',
      'the losses of a variator transmission',
    ],
    [
      'losses that eat the whole power at an end of the range',
      (store: Draft) => {
        store.losses.proportional_pct = 50;
        store.losses.growth_pct = 60;
      },
      'losses.growth_pct',
      'below 100 %',
    ],
    [
      'an axle that no car has',
      (store: Draft) => {
        store.axle = 'middle';
      },
      'axle',
      'one of "front", "rear"',
    ],
    [
      'more energy than the range holds',
      (store: Draft) => {
        store.initial_energy_pct = 101;
      },
      'initial_energy_pct',
      'a number from 0 to 100 %',
    ],
  ])('refuses %s', async (_what, change, path, expected) => {
    const problems = await problemsAfter(change);
    expect(problems).toHaveLength(1);
    expect(problems[0]?.path).toBe(path);
    expect(problems[0]?.expected).toContain(expected);
  });

  it('says at which ratio the losses are too high', async () => {
    const problems = await problemsAfter((store) => {
      store.losses.proportional_pct = 50;
      store.losses.growth_pct = 60;
    });
    // 50 % + 60 % · ln(120 / 50) = 102.5 % by hand; the other end is not reached.
    expect(problems[0]?.hint).toBe('at ratio 50 it would be 102.5 %');
  });

  it.each([
    ['above 1', '50,1,1.2', 'out-of-range'],
    ['at 0', '50,1,0', 'out-of-range'],
    ['in words', '50,1,good', 'not-a-number'],
  ])('refuses an efficiency %s in a loss table, with line and column', async (_what, row, code) => {
    const folder = folderWith({
      'losses.csv': `ratio,load_share,efficiency\n50,0,0.5\n${row}\n300,0,0.5\n300,1,0.9\n`,
    });
    const problems = await problemsAfter((store) => {
      store.losses = { form: 'table', file: 'losses.csv' };
    }, folder);
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({ code, line: 3, path: 'efficiency' });
    expect(problems[0]?.file).toMatch(/losses\.csv$/);
  });
});
