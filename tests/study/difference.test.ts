import { describe, expect, it } from 'vitest';
import { compare, groupChange } from '../../src/study/comparison.ts';
import { COMPARED_FIGURES, pairChanges } from '../../src/study/difference.ts';
import { figureNamed } from '../../src/study/figures.ts';
import { LEDGER_PARTS, ledgerChange, STORE_FLOWS } from '../../src/study/ledger-change.ts';
import type { Pair } from '../../src/study/match.ts';
import type { StudyRecord } from '../../src/study/record.ts';
import { LEDGER_LINES } from '../../src/summary/ledger-lines.ts';
import { problemsOf } from '../config/drafts.ts';
import { between, seeded } from '../seeded.ts';
import { expectWithin, Worst } from '../within.ts';
import { doneRecord, failedRecord } from './records.ts';
import { gatesOf, lacking, named, realRecord, resultOf } from './results.ts';

async function compared(
  before: readonly StudyRecord[],
  after: readonly StudyRecord[],
  { shares, gates }: { shares?: object; gates?: ReturnType<typeof gatesOf> } = {},
) {
  const manifest = shares === undefined ? {} : { cycle_shares: shares };
  const options = { manifest, gates };
  const comparison = compare(
    await resultOf(before, options),
    await resultOf(after, options),
    gates,
  );
  const means = comparison.means.map((group) => ({
    cases: group.pairs.length,
    lacking: group.lacking,
    ...groupChange(group, comparison),
  }));
  return { ...comparison, means };
}

const alone = (row: Pair['after']) => [{ figures: row.figures, share: 1 }];

const powers = [20, 40];
const cycles = ['nycc', 'udds'];
/** A small study that was really run, with one strategy. */
const study = (strategy: 'recover' | 'stop') =>
  powers.flatMap((power) =>
    cycles.map((cycle) => realRecord(strategy, cycle, { 'store.power_limit_kW': power })),
  );

describe('what moved in the ledger', () => {
  it('adds up to the change of the fuel, line by line, for cases and for means', async () => {
    const { matching, means, ledger } = await compared(study('recover'), study('stop'));
    expect(matching.pairs).toHaveLength(4);
    const all = [
      ...matching.pairs.map((pair) => ledgerChange(alone(pair.before), alone(pair.after))),
      ...means.map((mean) => mean.ledger),
      ledger!,
    ];
    expect(all).toHaveLength(7);
    const worst = new Worst();
    for (const { fuel, parts } of all) {
      expect(Math.abs(fuel.perKm)).toBeGreaterThan(1);
      const sum = parts.reduce((total, { perKm }) => total + perKm, 0);
      const share = parts.reduce((total, { ofFuel }) => total + ofFuel, 0);
      // The nodes of a ledger close to 1e-9 of the energy that moves through them: some 2000 kJ/km.
      const energy = Math.abs((100 * fuel.perKm) / fuel.ofFuel);
      worst.see(Math.abs(sum - fuel.perKm) / energy, () => `kJ/km: ${sum}, not ${fuel.perKm}`);
      worst.see(Math.abs(share - fuel.ofFuel) / 100, () => `%: ${share}, not ${fuel.ofFuel}`);
    }
    worst.expectAtMost(1e-9);
  });

  it('leaves the store balanced: in less out is the change of its losses and its energy', async () => {
    const { ledger } = await compared(study('recover'), study('stop'));
    const of = (name: string) =>
      [...ledger!.parts, ...ledger!.flows].find(({ part }) => part.name === name)!.perKm;
    const through =
      of('store_recovered_braking') + of('store_recovered_from_engine') - of('store_assisted');
    const ends =
      of('store_transmission_loss') +
      of('store_slip_loss') +
      of('store_rotor_drag') +
      of('store_stored_change');
    expect(Math.abs(ends)).toBeGreaterThan(0.1);
    expectWithin(through, ends, 1e-6);
  });

  it('knows every line but those that nodes hand on to one another', () => {
    const handedOn = [
      'fuel_burned_kJ',
      'fuel_engine_drag_kJ',
      'fuel_engine_work_at_wheels_kJ',
      'wheel_engine_work_kJ',
      'wheel_store_assist_kJ',
      'wheel_store_recovery_kJ',
      'wheel_engine_drag_kJ',
    ];
    const lines = (['fuel', 'wheel', 'store'] as const).flatMap((node) =>
      Object.keys(LEDGER_LINES[node]).map((key) => `${node}_${key}`),
    );
    const known = [...LEDGER_PARTS, ...STORE_FLOWS].map(({ name }) => `${name}_kJ`);
    expect(lines.filter((name) => !known.includes(name))).toEqual(handedOn);
  });
});

describe('a comparison', () => {
  it('of a result with itself shows no difference anywhere', async () => {
    const { matching, counts, means, ledger, notices } = await compared(
      study('stop'),
      study('stop'),
    );
    expect(counts).toEqual({
      better: 0,
      worse: 0,
      unchanged: 4,
      noFigure: 0,
      sameInputs: 4,
    });
    expect(notices).toEqual([]);
    const changes = [...matching.pairs.map(pairChanges), ...means.map(({ figures }) => figures)];
    expect(changes.flat().map(({ change }) => change)).toEqual(
      Array(6 * COMPARED_FIGURES.length).fill(0),
    );
    for (const { perKm, ofFuel } of [ledger!.fuel, ...ledger!.parts, ...ledger!.flows]) {
      expect(Math.abs(perKm)).toBe(0);
      expect(Math.abs(ofFuel)).toBe(0);
    }
  });

  it('counts a case without a figure for fuel by itself, and leaves its mean open', async () => {
    const fuel = (cycle: string, used: number) => doneRecord({ cycle, fuel: [5, 4.8, used] });
    const before = [fuel('udds', 4.5), fuel('nycc', 4.6)];
    const after = [fuel('udds', 4.4), lacking(fuel('nycc', 4.6), 'fuel', 'store_L_per_100km')];
    const found = await compared(before, after);
    expect(found.counts).toMatchObject({ better: 1, worse: 0, unchanged: 0, noFigure: 1 });
    expect(found.means[0]?.figures[0]).toMatchObject({ before: 4.55, after: Number.NaN });
    const same = await compared(after, after);
    expect(same.counts).toMatchObject({ unchanged: 1, noFigure: 1 });
    expect(same.notices).toEqual([]);
    const unlike = await compared(after, [after[0]!, before[1]!]);
    expect(unlike.notices.join()).toContain('1 case has the same inputs before and after, yet');
  });

  it('the other way round shows every difference with the other sign', async () => {
    const forth = await compared(study('recover'), study('stop'));
    const back = await compared(study('stop'), study('recover'));
    const figures = ({ matching, means }: typeof forth) => [
      ...matching.pairs.flatMap(pairChanges),
      ...means.flatMap((mean) => mean.figures),
    ];
    const there = figures(forth).map(({ change }) => change);
    expect(there.filter((change) => change !== 0).length).toBeGreaterThan(15);
    expect(figures(back).map(({ change }) => -change || 0)).toEqual(there.map((one) => one || 0));
    const lines = ({ ledger }: typeof forth) => [ledger!.fuel, ...ledger!.parts, ...ledger!.flows];
    expect(lines(back).map(({ perKm }) => -perKm || 0)).toEqual(
      lines(forth).map(({ perKm }) => perKm || 0),
    );
    expect(back.counts).toMatchObject({ better: forth.counts.worse, worse: forth.counts.better });
  });

  it('counts less fuel, more, and what is no more than rounding', async () => {
    const fuels = [4.5, 4.5, 4.5, 4.5];
    const after = [4.4, 4.6, 4.5 * (1 + 5e-6), 4.5];
    const records = (list: readonly number[]) =>
      list.map((fuel, k) => doneRecord({ cycle: `c${k}`, fuel: [5, 4.8, fuel] }));
    const { counts } = await compared(records(fuels), records(after));
    expect(counts).toMatchObject({ better: 1, worse: 1, unchanged: 2 });
  });
});

describe('a mean over cycles', () => {
  const town = doneRecord({ cycle: 'town', fuel: [5, 4.8, 4] });
  const road = doneRecord({ cycle: 'road', fuel: [10, 9.6, 9] });

  it('is of fuel per distance, and the saving is that of mean fuels', async () => {
    const { means, shares } = await compared([town, road], [town, road], {
      shares: { town: 3, road: 1 },
    });
    expect(shares.from).toBe('study');
    expect(means).toHaveLength(1);
    const [fuel, asIs, stopStart] = means[0]!.figures;
    // (3 × 4 + 9) / 4; 1 − 21 / 25 (the mean of 20 and 10 % would be 17.5); 1 − 21 / 24
    expectWithin(fuel!.after, 5.25, 1e-12);
    expectWithin(asIs!.after, 16, 1e-12);
    expectWithin(stopStart!.after, 12.5, 1e-12);
  });

  it('gives all cycles the same share where nobody gives any', async () => {
    const { means, shares } = await compared([town, road], [town, road]);
    expect(shares).toMatchObject({ from: 'equal', shares: null });
    expectWithin(means[0]!.figures[0]!.after, 6.5, 1e-12);
  });

  it('takes the shares of the gates before those of the study', async () => {
    const gates = gatesOf([{ figure: 'fuel_store_L_per_100km', below: 10 }], {
      cycle_shares: { town: 1, road: 3 },
    });
    const { means, shares } = await compared([town, road], [town, road], {
      shares: { town: 3, road: 1 },
      gates,
    });
    expect(shares.from).toBe('gates');
    expectWithin(means[0]!.figures[0]!.after, 7.75, 1e-12);
  });

  it('refuses the share of a cycle that no case has', async () => {
    const gates = gatesOf([{ figure: 'fuel_store_L_per_100km', below: 10 }], {
      cycle_shares: { twon: 1, road: 3 },
    });
    const problems = await problemsOf(compared([town, road], [town, road], { gates }));
    expect(problems).toMatchObject([
      { code: 'unknown-cycle', path: 'cycle_shares.twon', hint: 'did you mean `town`?' },
    ]);
  });

  it('says which cycles have no share, and which cases it lacks', async () => {
    const lab = doneRecord({ cycle: 'lab', fuel: [20, 20, 20] });
    const { means, notices } = await compared([town, road, lab], [town, lab], {
      shares: { town: 1, road: 1 },
    });
    expect(notices).toEqual([expect.stringContaining('Not in the means')]);
    expect(notices[0]).toContain('lab');
    expect(means).toMatchObject([{ cases: 1, lacking: 1 }]);
    expect(means[0]!.figures[0]!.after).toBe(4);
  });

  it('counts a case that failed on one side as lacking', async () => {
    const { means } = await compared([town, road], [town, failedRecord({ cycle: 'road' })]);
    expect(means).toMatchObject([{ cases: 1, lacking: 1 }]);
  });

  it('of the shortfall is what is missing over all traction', () => {
    const { mean, of } = figureNamed('shortfall_pct_of_tractive');
    const figures = (distance: number, missing: number, traction: number) => ({
      of: (column: string) =>
        ({
          cycle_distance_km: distance,
          shortfall_energy_kJ: missing,
          ledger_wheel_traction_kJ: traction,
        })[column]!,
    });
    expect(of).toBeTypeOf('function');
    const cases = [
      { figures: figures(2, 10, 400), share: 1 },
      { figures: figures(4, 0, 2400), share: 1 },
    ] as never;
    // 5 kJ/km of 200, and none of 600: 5 / 800
    expectWithin(mean!(cases), 0.625, 1e-12);
    expect(mean!([{ figures: figures(2, 0, 0), share: 1 }] as never)).toBe(0);
    expect(mean!([{ figures: figures(2, Number.NaN, 400), share: 1 }] as never)).toBeNaN();
  });

  it('stays between its cases, whatever the shares', async () => {
    const random = seeded(11);
    for (let round = 0; round < 10; round++) {
      const records = ['a', 'b', 'c'].map((cycle) => {
        const store = between(random, 3, 9);
        return doneRecord({ cycle, fuel: [store + 1, store + 0.5, store] });
      });
      const shares = Object.fromEntries(['a', 'b', 'c'].map((name) => [name, random() + 0.01]));
      const { means } = await compared(records, records, { shares });
      for (const [k, pick] of (['fuel', 'saving'] as const).entries()) {
        const values = records.map((record) =>
          pick === 'fuel' ? record.fuel.store_L_per_100km : record.saving.vs_baseline_pct!,
        );
        const mean = means[0]!.figures[k]!.after;
        expect(mean).toBeGreaterThanOrEqual(Math.min(...values) * (1 - 1e-12));
        expect(mean).toBeLessThanOrEqual(Math.max(...values) * (1 + 1e-12));
      }
    }
  });
});

describe('notices', () => {
  const one = doneRecord();
  const notices = async (after: StudyRecord, manifest: object = {}) =>
    compare(await resultOf([one]), await resultOf([after], { manifest })).notices;

  it('say that another program, or another model, may be the cause', async () => {
    expect(await notices({ ...one, tool: 'spinledger 10.0.0' })).toEqual([
      'Before was made by spinledger 9.9.9 (model 1), after by spinledger 10.0.0 (model 1): what differs may come from the program, not from the change.',
    ]);
    expect(await notices(one, { model_version: '2' })).toEqual([
      expect.stringContaining('(model 2)'),
    ]);
  });

  it('say what was compared across, and that the same inputs gave other figures', async () => {
    expect(await notices(named(one, { strategy: 'y' }))).toEqual([
      'Compared across the strategy: c before, y after.',
    ]);
    expect(await notices(doneRecord({ fuel: [5, 4.8, 4.4] }))).toEqual([
      '1 case has the same inputs before and after, yet other figures: the program made the difference.',
    ]);
  });

  it('say that the studies have other shares or names', async () => {
    const found = await notices(one, { study: 'other', cycle_shares: { d: 1 } });
    expect(found).toEqual(['The studies have different names: made-up before, other after.']);
    const before = await resultOf([one], { manifest: { cycle_shares: { d: 2 } } });
    const after = await resultOf([one], { manifest: { cycle_shares: { d: 1 } } });
    expect(compare(before, after).notices).toEqual([
      'The studies before and after have other shares of cycles; those after are used.',
    ]);
  });
});
