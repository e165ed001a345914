import { describe, expect, it } from 'vitest';
import { type Curve, storeCurves } from '../../src/study/curves.ts';
import { Ranker } from '../../src/study/rank.ts';
import type { StudyRecord } from '../../src/study/record.ts';
import { doneRecord, failedRecord } from './records.ts';

const ENERGY = 'store.rotor.energy_at_max_kJ';
const POWER = 'store.power_limit_kW';
const MASS = 'store.mass_kg';
const CAR = 'car.mass_kg';

function curvesOf(varied: readonly string[], records: readonly StudyRecord[]): readonly Curve[] {
  const ranker = new Ranker({ varied, cycleShares: null, tolerance: 0.5 });
  for (const record of records) ranker.add(record);
  return storeCurves(ranker.ranking());
}

/** Fuel with a store that saves so much [%] of 5 L/100 km. */
const saving = (percent: number) => [5, 5, 5 * (1 - percent / 100)] as const;

const ENERGIES = [100, 200, 300, 400, 500];
/** Savings with their knee at 200: scaled 0, 0.63, 0.84, 0.95, 1. */
const SAVINGS = [0, 6, 8, 9, 9.5];

describe('the curves of a study', () => {
  it('show the saving over a number of the store, by rising value', () => {
    const records = ENERGIES.map((energy, k) =>
      doneRecord({ varied: { [ENERGY]: energy }, fuel: saving(SAVINGS[k]!) }),
    );
    const [curve, ...more] = curvesOf([ENERGY], records.toReversed());
    expect(more).toEqual([]);
    expect(curve).toMatchObject({ path: ENERGY, together: [], held: [], car: 'a' });
    expect(curve!.points.map(({ value }) => value)).toEqual(ENERGIES);
    expect(curve!.knee).toMatchObject({ kind: 'knee', at: { value: 200 } });
  });

  it('take one number at a time, the others held as in the best row', () => {
    const records = ENERGIES.flatMap((energy, k) =>
      [20, 40, 60].map((power) =>
        doneRecord({
          varied: { [ENERGY]: energy, [POWER]: power },
          fuel: saving(SAVINGS[k]! * (power === 40 ? 2 : 1)),
        }),
      ),
    );
    const [energy, power, ...more] = curvesOf([ENERGY, POWER], records);
    expect(more).toEqual([]);
    expect(energy).toMatchObject({ path: ENERGY, held: [{ path: POWER, value: 40 }] });
    expect(energy!.points).toHaveLength(5);
    expect(energy!.points[4]!.saving_pct).toBeCloseTo(19, 9);
    expect(power).toMatchObject({ path: POWER, held: [{ path: ENERGY, value: 500 }] });
    expect(power!.points.map(({ value }) => value)).toEqual([20, 40, 60]);
    expect(power!.knee).toEqual({ kind: 'none', reason: 'few_points' });
  });

  it('take numbers that change together as one', () => {
    const records = ENERGIES.map((energy, k) =>
      doneRecord({
        varied: { [ENERGY]: energy, [MASS]: 20 + energy / 10 },
        fuel: saving(SAVINGS[k]!),
      }),
    );
    const curves = curvesOf([ENERGY, MASS], records);
    expect(curves).toMatchObject([{ path: ENERGY, together: [MASS], held: [] }]);
    expect(curves[0]!.points).toHaveLength(5);
  });

  it('are one for each car, store and strategy, the best of them first', () => {
    const records = ['poor', 'good'].flatMap((strategy) =>
      ENERGIES.map((energy, k) =>
        doneRecord({
          strategy,
          varied: { [ENERGY]: energy },
          fuel: saving(SAVINGS[k]! + (strategy === 'good' ? 1 : 0)),
        }),
      ),
    );
    expect(curvesOf([ENERGY], records).map(({ strategy }) => strategy)).toEqual(['good', 'poor']);
  });

  it('leave out what lacks a cycle, and cases that leave the number as it is', () => {
    const records = ENERGIES.flatMap((energy, k) =>
      ['x', 'y'].map((cycle) => {
        const made = { cycle, varied: { [ENERGY]: energy }, fuel: saving(SAVINGS[k]!) };
        return energy === 300 && cycle === 'y' ? failedRecord(made) : doneRecord(made);
      }),
    );
    const own = ['x', 'y'].map((cycle) => doneRecord({ cycle, varied: { [ENERGY]: null } }));
    const [curve] = curvesOf([ENERGY], [...records, ...own]);
    expect(curve!.points.map(({ value }) => value)).toEqual([100, 200, 400, 500]);
  });

  it('have the knee of what any strategy could save beside their own', () => {
    // The strategy saves ever less; the bound bends at 200 as in the first test.
    const records = ENERGIES.map((energy, k) =>
      doneRecord({
        varied: { [ENERGY]: energy },
        fuel: saving(5 - k),
        bound: 5 * (1 - (10 + SAVINGS[k]!) / 100),
      }),
    );
    const [curve] = curvesOf([ENERGY], records);
    expect(curve!.knee).toEqual({ kind: 'none', reason: 'falling' });
    expect(curve!.bound!.points.map(({ value }) => value)).toEqual(ENERGIES);
    expect(curve!.bound!.points[1]!.saving_pct).toBeCloseTo(16, 9);
    expect(curve!.bound!.knee).toMatchObject({ kind: 'knee', at: { value: 200 } });
    const without = ENERGIES.map((energy) => doneRecord({ varied: { [ENERGY]: energy } }));
    expect(curvesOf([ENERGY], without)[0]!.bound).toBeNull();
  });

  it('are of the store alone', () => {
    const records = ENERGIES.map((mass, k) =>
      doneRecord({ varied: { [CAR]: mass }, fuel: saving(SAVINGS[k]!) }),
    );
    expect(curvesOf([CAR], records)).toEqual([]);
    expect(curvesOf([], [doneRecord()])).toEqual([]);
  });

  it('hold a number of another part as well', () => {
    const records = ENERGIES.flatMap((energy, k) =>
      [1000, 2000].map((mass) =>
        doneRecord({
          varied: { [CAR]: mass, [ENERGY]: energy },
          fuel: saving(SAVINGS[k]! + mass / 1000),
        }),
      ),
    );
    expect(curvesOf([CAR, ENERGY], records)).toMatchObject([
      { path: ENERGY, held: [{ path: CAR, value: 2000 }] },
    ]);
  });
});
