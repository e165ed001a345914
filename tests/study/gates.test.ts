import { describe, expect, it } from 'vitest';
import { compare } from '../../src/study/comparison.ts';
import type { GateResult } from '../../src/study/gates.ts';
import type { StudyRecord } from '../../src/study/record.ts';
import { problemsOf } from '../config/drafts.ts';
import { expectWithin } from '../within.ts';
import { doneRecord, failedRecord, type Made } from './records.ts';
import { gatesOf, lacking, realRecord, resultOf } from './results.ts';

const FUEL = 'fuel_store_L_per_100km';
const SAVING = 'saving_vs_stop_start_pct';

/** Cases on some cycles with the fuel that is given [L/100 km]; 4.8 with stop-start. */
const fuels = (byCycle: Readonly<Record<string, number>>, made: Made = {}) =>
  Object.entries(byCycle).map(([cycle, fuel]) =>
    doneRecord({ ...made, cycle, fuel: [5, 4.8, fuel] }),
  );

interface Options {
  readonly manifest?: object;
  readonly shares?: Readonly<Record<string, number>>;
}

/** How a gate turns out for two results. */
async function held(
  gate: object,
  before: readonly StudyRecord[],
  after: readonly StudyRecord[],
  { manifest = {}, shares }: Options = {},
): Promise<GateResult> {
  const gates = gatesOf([gate], shares === undefined ? {} : { cycle_shares: shares });
  const options = { manifest, gates };
  const comparison = compare(
    await resultOf(before, options),
    await resultOf(after, options),
    gates,
  );
  return comparison.gates!.results[0]!;
}

describe('a limit', () => {
  const one = fuels({ udds: 4.5 });
  const holds = async (limits: object) => (await held({ figure: FUEL, ...limits }, one, one)).holds;

  it('holds at itself if it is one that may be reached, and not if it may not', async () => {
    expect(await holds({ at_least: 4.5 })).toBe(true);
    expect(await holds({ at_most: 4.5 })).toBe(true);
    expect(await holds({ above: 4.5 })).toBe(false);
    expect(await holds({ below: 4.5 })).toBe(false);
  });

  it('holds on its side, to the last digit', async () => {
    const next = 4.500000000000001;
    const last = 4.499999999999999;
    expect(await holds({ at_least: next })).toBe(false);
    expect(await holds({ at_least: last })).toBe(true);
    expect(await holds({ at_most: last })).toBe(false);
    expect(await holds({ above: last })).toBe(true);
    expect(await holds({ below: next })).toBe(true);
  });

  it('holds together with others only if all of them do', async () => {
    expect(await holds({ at_least: 4, below: 5 })).toBe(true);
    expect(await holds({ at_least: 4.6, below: 5 })).toBe(false);
    expect(await holds({ at_least: 4, below: 4.5 })).toBe(false);
  });
});

describe('a gate', () => {
  it('looks at every case after, and keeps the worst ones', async () => {
    const after = fuels({ a: 4.5, b: 4.7, c: 4.9, d: 4.4 });
    const result = await held({ figure: FUEL, at_most: 4.6 }, after, after);
    expect(result).toMatchObject({ holds: false, looked: 4, missed: 2, nearest: null });
    expect(result.worst.map(({ value }) => value)).toEqual([4.9, 4.7]);
  });

  it('that holds names the value nearest to a limit', async () => {
    const after = fuels({ a: 4.5, b: 4.7, c: 4.4 });
    const result = await held({ figure: FUEL, at_most: 5, at_least: 4.3 }, after, after);
    expect(result).toMatchObject({ holds: true, looked: 3, missed: 0, worst: [] });
    expect(result.nearest?.value).toBe(4.4);
  });

  it('keeps ten cases at most, however many are beyond', async () => {
    const after = fuels(Object.fromEntries(Array.from({ length: 30 }, (_, k) => [`c${k}`, 4 + k])));
    const result = await held({ figure: FUEL, at_most: 3 }, after, after);
    expect(result.missed).toBe(30);
    expect(result.worst.map(({ value }) => value)).toEqual(
      Array.from({ length: 10 }, (_, k) => 33 - k),
    );
  });

  it('of a change looks at after less before, in the unit of the figure or in % of before', async () => {
    const before = fuels({ a: 4, b: 5 });
    const after = fuels({ a: 4.5, b: 4.5 });
    const change = await held({ figure: FUEL, of: 'change', at_most: 0.4 }, before, after);
    expect(change.worst).toMatchObject([{ before: 4, after: 4.5, value: 0.5 }]);
    const percent = await held({ figure: FUEL, of: 'change_pct', at_least: -9 }, before, after);
    expect(percent.worst).toMatchObject([{ before: 5, after: 4.5, value: -10 }]);
  });

  it('takes a change in % of the size of what was before, so that a rise is one below 0 too', async () => {
    const before = fuels({ a: 5.76 });
    const after = fuels({ a: 5.28 });
    // Savings of −20 % and −10 %: half of the loss is gone.
    const { nearest } = await held({ figure: SAVING, of: 'change_pct', above: 0 }, before, after);
    expect(nearest?.value).toBeCloseTo(50, 10);
  });

  it('of a result with itself holds for every change of 0', async () => {
    const records = (['recover', 'stop'] as const).flatMap((strategy) =>
      ['nycc', 'udds'].map((cycle) => realRecord(strategy, cycle)),
    );
    for (const of of ['change', 'change_pct']) {
      for (const over of ['each', 'mean']) {
        for (const figure of [SAVING, FUEL, 'shortfall_pct_of_tractive']) {
          const gate = { figure, of, over, at_least: 0, at_most: 0 };
          expect(await held(gate, records, records)).toMatchObject({
            holds: true,
            looked: over === 'mean' ? 2 : 4,
          });
        }
      }
    }
  });

  it('holds an energy per distance, of which a mean can be taken', async () => {
    const record = realRecord('stop');
    const perKm = record.ledger.store.rotor_drag_kJ / record.cycle.distance_km;
    for (const over of ['each', 'mean']) {
      const gate = { figure: 'ledger_store_rotor_drag_kJ_per_km', over, at_most: 1e9 };
      const { nearest } = await held(gate, [record], [record]);
      expect(nearest?.value).toBe(perKm);
    }
  });
});

describe('a gate over the mean', () => {
  const gate = { figure: SAVING, over: 'mean' };

  it('looks at one value for each car, store, strategy and varied number', async () => {
    const heavy = { varied: { 'car.mass_kg': 1800 } };
    const light = { varied: { 'car.mass_kg': 1600 } };
    const after = [
      ...fuels({ town: 4, road: 4.4 }, heavy),
      ...fuels({ town: 3, road: 3.8 }, light),
    ];
    const result = await held({ ...gate, at_least: 12.4 }, after, after);
    expect(result).toMatchObject({ looked: 2, holds: true });
    // 1 − 4.2 / 4.8
    expect(result.nearest?.value).toBeCloseTo(12.5, 10);
  });

  it('weighs cycles by their shares', async () => {
    const after = fuels({ town: 4, road: 4.8 });
    const { nearest } = await held({ ...gate, above: -1 }, after, after, {
      shares: { town: 1, road: 3 },
    });
    // 1 − 4.6 / 4.8
    expect(nearest?.value).toBeCloseTo(100 * (1 - 4.6 / 4.8), 10);
  });

  it('over some cycles takes their mean alone', async () => {
    const after = fuels({ town: 4, road: 4.8, lab: 2 });
    const some = { ...gate, above: -1, cases: { cycle: ['town', 'road'] } };
    const { nearest } = await held(some, after, after);
    expect(nearest?.value).toBeCloseTo(100 * (1 - 4.4 / 4.8), 10);
  });

  it('does not look at cases without a share, failed or not', async () => {
    const after = [...fuels({ town: 4 }), failedRecord({ cycle: 'lab' })];
    const result = await held({ ...gate, of: 'change', at_least: 0 }, after, after, {
      shares: { town: 1 },
    });
    expect(result).toMatchObject({ holds: true, looked: 1 });
  });
});

describe('a gate with nothing to look at does not hold', () => {
  const easy = { figure: FUEL, above: -1e9 };
  const one = fuels({ udds: 4.5 });

  it('if a case failed', async () => {
    const after = [...one, failedRecord({ cycle: 'nycc' }, 'no road')];
    const result = await held(easy, after, after);
    expect(result).toMatchObject({ holds: false, looked: 2, missed: 1 });
    expect(result.worst[0]).toMatchObject({ value: Number.NaN, why: 'failed: no road' });
  });

  it('if all cases failed, whatever its figure is called', async () => {
    const after = [failedRecord({ cycle: 'udds' })];
    expect(await held(easy, after, after)).toMatchObject({ holds: false, missed: 1 });
    expect(await held({ figure: 'nothing', above: 0 }, after, after)).toMatchObject({
      holds: false,
    });
  });

  it('if a figure has no value, before or after', async () => {
    const none = [doneRecord({ cycle: 'udds', fuel: [0, 0, 0] })];
    const some = fuels({ udds: 4.5 });
    const gate = { figure: SAVING, above: -1e9 };
    const whys = [
      await held(gate, some, none),
      await held({ ...gate, of: 'change' }, none, some),
      await held({ ...gate, of: 'change_pct' }, some, none),
      await held({ ...gate, over: 'mean' }, some, none),
    ].map(({ holds, worst }) => [holds, worst[0]?.why]);
    expect(whys).toEqual([
      [false, 'no figure after: the result has null there, or nothing'],
      [false, 'no figure before: the result has null there, or nothing'],
      [false, 'no figure after: the result has null there, or nothing'],
      [false, 'udds: no figure after'],
    ]);
  });

  it('if the fuel of a case, or a saving that its fuels would give, is null', async () => {
    const whole = fuels({ udds: 4.5, nycc: 4.6 });
    const noFuel = [whole[0]!, lacking(whole[1]!, 'fuel', 'store_L_per_100km')];
    const noSaving = [whole[0]!, lacking(whole[1]!, 'saving', 'vs_stop_start_pct')];
    for (const [figure, after] of [
      [FUEL, noFuel],
      [SAVING, noSaving],
    ] as const) {
      for (const gate of [{ of: 'after' }, { of: 'change' }, { of: 'change_pct' }]) {
        const each = await held({ figure, at_least: -1e9, ...gate }, whole, after);
        expect(each).toMatchObject({ holds: false, looked: 2, missed: 1 });
        expect(each.worst[0]?.of.row.names.cycle).toBe('nycc');
        const mean = await held({ figure, at_least: -1e9, over: 'mean', ...gate }, whole, after);
        expect(mean).toMatchObject({ holds: false, looked: 1, missed: 1 });
        expect(mean.worst[0]?.why).toBe('nycc: no figure after');
      }
    }
    const before = await held({ figure: FUEL, of: 'change', at_most: 1e9 }, noFuel, whole);
    expect(before.worst[0]?.why).toContain('no figure before');
  });

  it('if a change is to be taken of nothing', async () => {
    const before = [doneRecord({ shortfall: 0 })];
    const after = [doneRecord({ shortfall: 1 })];
    const gate = { figure: 'shortfall_pct_of_tractive', of: 'change_pct', at_most: 1e9 };
    const result = await held(gate, before, after);
    expect(result.holds).toBe(false);
    expect(result.worst[0]?.why).toContain('is 0 before');
    expect(await held(gate, before, before)).toMatchObject({ holds: true });
  });

  it('if a case is on one side alone and a change is asked for', async () => {
    const two = fuels({ udds: 4.5, nycc: 4.6 });
    const change = { ...easy, of: 'change' };
    for (const [before, after, side] of [
      [one, two, 'after'],
      [two, one, 'before'],
    ] as const) {
      for (const over of ['each', 'mean']) {
        const result = await held({ ...change, over }, before, after);
        expect(result).toMatchObject({ holds: false, missed: 1 });
        expect(result.worst[0]?.why).toContain(`only ${side}`);
      }
    }
    expect(await held(easy, one, two)).toMatchObject({ holds: true, looked: 2 });
  });

  it('if a case failed on one side and a change is asked for', async () => {
    const failed = [...one, failedRecord({ cycle: 'nycc' }, 'no road')];
    const ran = fuels({ udds: 4.5, nycc: 4.6 });
    for (const over of ['each', 'mean']) {
      const gate = { ...easy, of: 'change', over };
      const after = await held(gate, ran, failed);
      expect(after.worst[0]?.why).toContain('failed after: no road');
      const before = await held(gate, failed, ran);
      expect(before.worst[0]?.why).toContain('failed before: no road');
      expect([after.holds, before.holds]).toEqual([false, false]);
    }
  });

  it('if it is not clear which case is which', async () => {
    const twice = [...one, ...one];
    for (const gate of [
      { ...easy, of: 'change' },
      { ...easy, over: 'mean' },
      { ...easy, of: 'change', over: 'mean' },
    ]) {
      const result = await held(gate, twice, twice);
      expect(result.holds, JSON.stringify(gate)).toBe(false);
      expect(result.worst[0]?.why).toContain('stands more than once');
    }
  });

  it('if a cycle that has a share, or that others have, is missing from a mean', async () => {
    const after = [...fuels({ town: 4, road: 4.4 }), ...fuels({ town: 4 }, { car: 'van' })];
    for (const options of [{ shares: { town: 1, road: 1 } }, {}]) {
      for (const of of ['after', 'change']) {
        const result = await held({ ...easy, of, over: 'mean' }, after, after, options);
        expect(result).toMatchObject({ holds: false, looked: 2, missed: 1 });
        expect(result.worst[0]?.of.row.names.car).toBe('van');
        expect(result.worst[0]?.why).toContain('no case on road');
      }
    }
    const town = { ...easy, over: 'mean', cases: { cycle: 'town' } };
    expect(await held(town, after, after)).toMatchObject({ holds: true, looked: 2 });
  });

  it('if a car was only driven on cycles without a share', async () => {
    const after = [...fuels({ town: 4 }), ...fuels({ lab: 9 }, { car: 'van' })];
    const result = await held({ ...easy, over: 'mean' }, after, after, { shares: { town: 1 } });
    expect(result).toMatchObject({ holds: false, looked: 2, missed: 1 });
    expect(result.worst[0]?.why).toContain('no case on town');
  });

  it('if the mean is to be over a cycle that has no share', async () => {
    const after = fuels({ town: 4, lab: 4.4 });
    const gate = { ...easy, over: 'mean', cases: { cycle: ['town', 'lab'] } };
    expect(await held(gate, after, after, { shares: { town: 1 } })).toMatchObject({
      holds: false,
      why: 'the cycle lab has no share in means',
    });
  });

  it('if no case is called as it says, or one of several names is wrong', async () => {
    const after = fuels({ town: 4, road: 4.4 }, { car: 'estate' });
    expect(await held({ ...easy, cases: { car: 'estaet' } }, after, after)).toMatchObject({
      holds: false,
      why: 'no case has car estaet; did you mean estate?',
    });
    const slip = { ...easy, cases: { cycle: ['town', 'raod'] } };
    expect(await held(slip, after, after)).toMatchObject({
      holds: false,
      why: 'no case has cycle raod; did you mean road?',
    });
  });

  it('if no case has the varied number, or nothing of that path is varied', async () => {
    const after = [60, 80].map((mass) => doneRecord({ varied: { 'store.mass_kg': mass } }));
    const gate = (cases: object) => ({ ...easy, cases });
    expect(await held(gate({ 'store.mass_kg': 80 }), after, after)).toMatchObject({
      holds: true,
      looked: 1,
    });
    expect(await held(gate({ 'store.mass_kg': [60, 80] }), after, after)).toMatchObject({
      holds: true,
      looked: 2,
    });
    const drifted = [doneRecord({ varied: { 'store.mass_kg': 0.1 + 2 * 0.1 } })];
    expect(await held(gate({ 'store.mass_kg': 0.3 }), drifted, drifted)).toMatchObject({
      holds: true,
      looked: 1,
    });
    for (const cases of [{ 'store.mass_kg': 70 }, { 'store.mas_kg': 80 }]) {
      const result = await held(gate(cases), after, after);
      expect(result.holds).toBe(false);
      expect(result.why).toContain('no case has store.');
    }
  });

  it('if each of its names is there, but on no case together', async () => {
    const after = [...fuels({ town: 4 }, { car: 'van' }), ...fuels({ road: 4 }, { car: 'bus' })];
    const gate = { ...easy, cases: { car: 'van', cycle: 'road' } };
    expect(await held(gate, after, after)).toMatchObject({
      holds: false,
      looked: 0,
      why: 'no case is what the gate is about',
    });
  });

  it('if the name is that of a case before, and it looks at cases after', async () => {
    const before = fuels({ town: 4, road: 4 });
    const after = fuels({ road: 4, lab: 4 });
    const gate = { ...easy, cases: { cycle: 'town' } };
    expect(await held(gate, before, after)).toMatchObject({ holds: false });
    expect(await held({ ...gate, of: 'change' }, before, after)).toMatchObject({
      holds: false,
      missed: 1,
    });
  });
});

describe('the cases of a gate', () => {
  it('are known by both names of what was changed on purpose', async () => {
    const before = fuels({ town: 4 }, { strategy: 'old' });
    const after = fuels({ town: 4 }, { strategy: 'new' });
    for (const strategy of ['old', 'new', ['old', 'new']]) {
      const gate = { figure: FUEL, of: 'change', at_most: 0, cases: { strategy } };
      expect(await held(gate, before, after)).toMatchObject({ holds: true, looked: 1 });
    }
  });

  it('leave out all others', async () => {
    const after = [
      ...fuels({ town: 4, road: 9 }, { car: 'van' }),
      ...fuels({ town: 9, road: 9 }, { car: 'bus' }),
    ];
    const gate = { figure: FUEL, at_most: 5, cases: { car: ['van'], cycle: 'town' } };
    expect(await held(gate, after, after)).toMatchObject({ holds: true, looked: 1 });
  });
});

describe('figures of gates', () => {
  const one = fuels({ udds: 4.5 });
  const problems = (gate: object) => problemsOf(held({ above: 0, ...gate }, one, one));

  it('must be columns of the results that hold numbers', async () => {
    expect(await problems({ figure: 'saving_vs_stopstart_pct' })).toMatchObject([
      {
        code: 'unknown-figure',
        path: 'gates[0].figure',
        hint: 'did you mean `saving_vs_stop_start_pct`?',
      },
    ]);
    expect(await problems({ figure: 'saving.vs_stop_start_pct' })).toMatchObject([
      { hint: 'did you mean `saving_vs_stop_start_pct`?' },
    ]);
    expect(await problems({ figure: 'ledger_store_rotor_darg_kJ_per_km' })).toMatchObject([
      { hint: 'did you mean `ledger_store_rotor_drag_kJ_per_km`?' },
    ]);
    expect(await problems({ figure: 'saving_balance_method' })).toMatchObject([
      { code: 'unknown-figure' },
    ]);
    expect(await problems({ figure: 'zzz' })).toMatchObject([
      { hint: expect.stringContaining('--format csv') },
    ]);
  });

  it.each([
    'counts_engine_starts',
    'shortfall_seconds',
    'ledger_store_rotor_drag_kJ',
    'cycle_distance_km',
    'saving_balance_residual_pct_of_fuel_energy',
    'ledger_closure_relative',
  ])('refuse a mean that says nothing: %s', async (figure) => {
    const found = await problems({ figure, over: 'mean' });
    expect(found).toMatchObject([{ code: 'no-mean', found: figure }]);
    expect(found[0]?.hint).toContain(figure.endsWith('_kJ') ? `${figure}_per_km` : '"over"');
  });

  it('take the gap to the bound of the mean fuels, and what the bound saves', async () => {
    // Shares 3 to 1: mean fuel (3·4.4 + 5.6) / 4 = 4.7, bound (3·4 + 5.6) / 4 = 4.4, car 5 and 7: 5.5.
    const after = [
      doneRecord({ cycle: 'town', fuel: [5, 4.8, 4.4], bound: 4 }),
      doneRecord({ cycle: 'road', fuel: [7, 6.8, 5.6], bound: 5.6 }),
    ];
    const options = { shares: { town: 3, road: 1 } };
    for (const [figure, value] of [
      ['bound_gap_pct', (100 * 0.3) / 4.4],
      ['bound_saving_vs_baseline_pct', 20],
      ['bound_saving_vs_stop_start_pct', (100 * 0.9) / 5.3],
    ] as const) {
      const gate = { figure, over: 'mean', at_least: 0, at_most: 50 };
      const result = await held(gate, after, after, options);
      expect(result).toMatchObject({ holds: true, looked: 1 });
      // A few roundings of doubles.
      expectWithin(result.nearest!.value, value, 1e-12);
    }
    const unbound = [after[0]!, doneRecord({ cycle: 'road', fuel: [7, 6.8, 5.6] })];
    const gate = { figure: 'bound_gap_pct', over: 'mean', at_most: 50 };
    expect((await held(gate, after, unbound, options)).worst[0]?.why).toBe('road: no figure after');
    const refinement = problemsOf(
      held({ figure: 'bound_refinement_pct', over: 'mean', above: 0 }, after, after),
    );
    expect(await refinement).toMatchObject([{ code: 'no-mean' }]);
  });

  it.each([
    'fuel_store_L_per_100km',
    'fuel_baseline_co2_g_per_km',
    'counts_engine_starts_per_km',
    'saving_vs_baseline_pct',
    'shortfall_pct_of_tractive',
    'missed_recovery_full_kJ_per_km',
  ])('have a mean that is that of its one case: %s', async (figure) => {
    const record = realRecord('stop');
    const gate = { figure, at_least: -1e9 };
    const each = await held(gate, [record], [record]);
    const mean = await held({ ...gate, over: 'mean' }, [record], [record]);
    expect(mean.nearest!.value).toBeCloseTo(each.nearest!.value, 10);
  });
});
