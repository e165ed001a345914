import { describe, expect, it } from 'vitest';
import { Ranker, type RankingRules } from '../../src/study/rank.ts';
import type { Ranking } from '../../src/study/ranking.ts';
import type { StudyRecord } from '../../src/study/record.ts';
import { seeded } from '../seeded.ts';
import { expectWithin } from '../within.ts';
import { doneRecord, failedRecord } from './records.ts';

/** Sums of a handful of doubles of one sign. */
const ROUNDING = 1e-14;

function ranked(records: readonly StudyRecord[], rules: Partial<RankingRules> = {}): Ranking {
  const ranker = new Ranker({ varied: [], cycleShares: null, tolerance: 0.5, ...rules });
  for (const record of records) ranker.add(record);
  return ranker.ranking();
}

describe('a mean over cycles', () => {
  const town = { cycle: 'town', fuel: [10, 8, 6] } as const;
  const road = { cycle: 'road', fuel: [4, 4, 3.8] } as const;

  it('is that of the fuel by the shares of the distance, and the saving is of the means', () => {
    const { rows } = ranked([doneRecord(town), doneRecord(road)], {
      cycleShares: { town: 1, road: 3 },
    });
    const [row, ...more] = rows;
    expect(more).toEqual([]);
    // As it is (10 + 3*4) / 4 = 5.5, stop-start (8 + 3*4) / 4 = 5, store (6 + 3*3.8) / 4 = 4.35.
    expectWithin(row!.fuel!.baseline_L_per_100km, 5.5, ROUNDING);
    expectWithin(row!.fuel!.stop_start_L_per_100km, 5, ROUNDING);
    expectWithin(row!.fuel!.store_L_per_100km, 4.35, ROUNDING);
    expectWithin(row!.fuel!.store_co2_g_per_km, 26 * 4.35, ROUNDING);
    // 1 - 4.35/5.5 = 20.909 %; the mean of the two percentages would be (40 + 3*5) / 4 = 13.75.
    expectWithin(row!.saving.vs_baseline_pct!, (100 * 1.15) / 5.5, ROUNDING);
    expectWithin(row!.saving.vs_stop_start_pct!, 13, ROUNDING);
  });

  it('takes all cycles alike where no shares are given', () => {
    const { rows, cycles } = ranked([doneRecord(town), doneRecord(road)]);
    expect(cycles).toEqual([
      { name: 'town', share: 0.5 },
      { name: 'road', share: 0.5 },
    ]);
    // (10 + 4) / 2 = 7 and (6 + 3.8) / 2 = 4.9: 30 % saved.
    expectWithin(rows[0]!.saving.vs_baseline_pct!, 30, ROUNDING);
  });

  it('leaves out a cycle that has no share, but keeps its case', () => {
    const { rows, cycles, done } = ranked([doneRecord(town), doneRecord(road)], {
      cycleShares: { town: 0.2 },
    });
    expect(cycles).toEqual([
      { name: 'town', share: 1 },
      { name: 'road', share: 0 },
    ]);
    expectWithin(rows[0]!.saving.vs_baseline_pct!, 40, ROUNDING);
    expect(rows[0]!.complete).toBe(true);
    expect(rows[0]!.cases.map(({ cycle }) => cycle)).toEqual(['town', 'road']);
    expect(done).toBe(2);
  });

  it('does not hang on the order in which the cases come', () => {
    const records = ['a', 'b', 'c'].flatMap((car, k) => [
      doneRecord({ ...town, car, fuel: [10, 8, 6 + k] }),
      doneRecord({ ...road, car }),
    ]);
    const cars = (order: readonly StudyRecord[]) => ranked(order).rows.map(({ car }) => car);
    expect(cars(records)).toEqual(['a', 'b', 'c']);
    expect(cars(records.toReversed())).toEqual(['a', 'b', 'c']);
  });
});

describe('a ranking', () => {
  it('is by falling saving, equal ones in the order of the study', () => {
    const random = seeded(3);
    const records = Array.from({ length: 200 }, (_, k) =>
      doneRecord({ car: `car ${k}`, fuel: [5, 5, 4 + Math.floor(4 * random()) / 4] }),
    );
    const { rows } = ranked(records);
    expect(rows).toHaveLength(200);
    for (let k = 1; k < rows.length; k++) {
      const [above, below] = [rows[k - 1]!, rows[k]!];
      const fall = above.saving.vs_baseline_pct! - below.saving.vs_baseline_pct!;
      expect(fall).toBeGreaterThanOrEqual(0);
      if (fall === 0) {
        expect(Number(above.car.slice(4))).toBeLessThan(Number(below.car.slice(4)));
      }
    }
  });

  it('has a row for each car, store, strategy and set of values', () => {
    const varied = ['store.x', 'store.y'];
    const of = (car: string, x: number | null, y: number) =>
      doneRecord({ car, varied: { 'store.x': x, 'store.y': y } });
    const records = [of('a', 1, 2), of('a', 1, 3), of('a', null, 2), of('b', 1, 2), of('a', 1, 2)];
    const { rows } = ranked(records, { varied });
    expect(rows.map(({ car, values }) => [car, ...values])).toEqual([
      ['a', 1, 2],
      ['a', 1, 3],
      ['a', null, 2],
      ['b', 1, 2],
    ]);
  });

  it('does not take names for one another, whatever signs are in them', () => {
    const records = [
      doneRecord({ car: 'a","b', store: 'c' }),
      doneRecord({ car: 'a', store: 'b","c' }),
    ];
    expect(ranked(records).rows).toHaveLength(2);
  });

  it('puts a row that lacks a cycle after all that lack none, and one without figures last', () => {
    const records = [
      failedRecord({ car: 'none', cycle: 'x' }),
      failedRecord({ car: 'none', cycle: 'y' }),
      doneRecord({ car: 'gap', cycle: 'x', fuel: [5, 5, 1] }),
      failedRecord({ car: 'gap', cycle: 'y' }),
      doneRecord({ car: 'whole', cycle: 'x', fuel: [5, 5, 4.9] }),
      doneRecord({ car: 'whole', cycle: 'y', fuel: [5, 5, 4.9] }),
    ];
    const { rows, done, failed } = ranked(records);
    expect(rows.map(({ car, complete }) => [car, complete])).toEqual([
      ['whole', true],
      ['gap', false],
      ['none', false],
    ]);
    expect(rows[1]!.failed).toBe(1);
    expect(rows[2]).toMatchObject({ fuel: null, saving: { vs_baseline_pct: null } });
    expect([done, failed]).toEqual([3, 3]);
  });

  it('states no saving where there is no fuel to save', () => {
    const { rows, best } = ranked([doneRecord({ fuel: [0, 0, 0] })]);
    expect(rows[0]!.saving).toEqual({ vs_baseline_pct: null, vs_stop_start_pct: null });
    expect(best).toBeNull();
  });

  it('names the best and the worst single case', () => {
    const { best, worst } = ranked([
      doneRecord({ car: 'a', cycle: 'x', fuel: [5, 5, 4] }),
      doneRecord({ car: 'a', cycle: 'y', fuel: [5, 5, 4.9] }),
      doneRecord({ car: 'b', cycle: 'x', fuel: [5, 5, 5.1] }),
      // Neither drives what the others drive.
      doneRecord({ car: 'c', cycle: 'x', fuel: [5, 5, 1], shortfall: 30 }),
      doneRecord({ car: 'd', cycle: 'x', fuel: [5, 5, 9], shortfall: 30 }),
    ]);
    expect(best).toMatchObject({ car: 'a', cycle: 'x' });
    expect(worst).toMatchObject({ car: 'b', cycle: 'x' });
    expectWithin(best!.vs_baseline_pct, 20, ROUNDING);
  });

  it('counts what cannot be relied on, by row for the cycles of the mean, and in all', () => {
    const { rows, ...counts } = ranked(
      [
        doneRecord({ cycle: 'x', shortfall: 0.6 }),
        doneRecord({ cycle: 'y', shortfall: 0.5, slope: true }),
        doneRecord({ cycle: 'z', shortfall: 3, slope: true }),
      ],
      { cycleShares: { x: 1, y: 1 } },
    );
    expect(rows[0]).toMatchObject({ notFollowed: 1, slopeCorrected: 1 });
    expect(counts).toMatchObject({ notFollowed: 2, slopeCorrected: 2 });
  });

  it('holds the runs without the store to the tolerance as well', () => {
    const record = doneRecord();
    const { baseline } = record.references;
    const shortfall = { ...baseline.shortfall, pct_of_tractive: 2 };
    const weak = {
      ...record,
      references: { ...record.references, baseline: { ...baseline, shortfall } },
    };
    expect(ranked([weak]).notFollowed).toBe(1);
  });

  it('tells a few reasons of failure apart and counts their cases', () => {
    const records = Array.from({ length: 20 }, (_, k) =>
      failedRecord({ cycle: `lap ${k}` }, `no ${k % 7}`, 'input'),
    );
    const { failures, failed } = ranked(records);
    expect(failed).toBe(20);
    expect(failures).toEqual(
      [3, 3, 3, 3, 3].map((cases, k) => ({
        kind: 'input',
        message: `no ${k}`,
        cases,
        first: records[k]!.case,
      })),
    );
  });

  it('of nothing is empty', () => {
    expect(ranked([])).toMatchObject({ rows: [], cycles: [], best: null, done: 0, failed: 0 });
  });
});
