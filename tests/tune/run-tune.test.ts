import { describe, expect, it } from 'vitest';
import { isFeasible } from '../../src/optimum/merit.ts';
import { valuesAt } from '../../src/tune/numbers.ts';
import { runTune } from '../../src/tune/run-tune.ts';
import { Stopped } from '../../src/tune/trials.ts';
import { problemsOf } from '../config/drafts.ts';
import { Bench, HILLS, newFolder, SMALL, STOPS, tunedBy, tuneOf } from './tunes.ts';

const STARTS = 'counts_engine_starts_per_km';

describe('a tune that is run', () => {
  it('never ends worse than it started, whatever the seed and however small the budget', async () => {
    for (const seed of [1, 2, 3]) {
      for (const evaluations of [1, 7, 25]) {
        const { report } = await tunedBy({ ...SMALL, budget: { evaluations, seed } });
        expect(report.objective.gain).toBeGreaterThanOrEqual(0);
        expect(report.feasible).toBe(true);
        expect(report.search.evaluations).toBeLessThanOrEqual(evaluations);
      }
    }
  });

  it('tries no more sets of numbers than it is allowed, all told', async () => {
    const tried = async (evaluations: number) => {
      const { report, trials } = await tunedBy({ ...SMALL, budget: { evaluations, seed: 1 } });
      expect(trials.length).toBeLessThanOrEqual(evaluations);
      const moved = report.numbers.map(({ moved }) => moved.length);
      return { values: trials.map(({ values }) => values), moved };
    };
    const start = [15, 20];
    expect(await tried(1)).toEqual({ values: [start], moved: [0, 0] });
    // A tenth of the range 5 to 40 is 3.5, of 5 to 80 it is 7.5.
    expect((await tried(3)).values).toEqual([start, [7.5, 20], [22.5, 20]]);
    for (const evaluations of [5, 12, 40, 90]) {
      expect((await tried(evaluations)).values[0]).toEqual(start);
    }
  });

  it('finds no less than a grid of as many sets of numbers', async () => {
    const tune = await tuneOf({ ...SMALL, cycles: [HILLS, STOPS] });
    // 7 × 7 sets, both bounds among them; the search gets no more than as many, all told.
    const steps = [0, 1, 2, 3, 4, 5, 6].map((k) => k / 6);
    const grid = steps.flatMap((one) => steps.map((other) => valuesAt(tune.numbers, [one, other])));
    const points = { ...SMALL, cycles: [HILLS, STOPS], budget: { evaluations: 40, seed: 1 } };
    const { report, trials } = await tunedBy(points);
    expect(trials.length).toBeLessThanOrEqual(grid.length);
    // The grid as tunes of one set: each starts from its own numbers, and tries nothing else.
    const worth = await Promise.all(
      grid.map(async ([stop, power]) => {
        const strategy = { ...KEEP_OFF, keep_off: { stop_above_pct: stop, max_power_kW: power } };
        const one = { ...points, strategy, budget: { evaluations: 1, seed: 1 } };
        return (await tunedBy(one)).report.objective.before;
      }),
    );
    // On so short a drive many sets do the same, so the best of both may be equal.
    expect(report.objective.after).toBeGreaterThanOrEqual(Math.max(...worth));
  });

  it('takes what its report says from the cases themselves', async () => {
    const { report, best, trials } = await tunedBy({
      ...SMALL,
      cycles: [HILLS, STOPS],
      cycle_shares: { hills: 3, stops: 1 },
      held_back: ['nycc'],
    });
    const [hills, stops, nycc] = report.cycles;
    // A saving of several cycles is that of their fuel, weighted by distance.
    const fuel = (key: 'fuel_store_L_per_100km' | 'fuel_stop_start_L_per_100km') =>
      0.75 * hills!.after[key]! + 0.25 * stops!.after[key]!;
    const saving = 100 * (1 - fuel('fuel_store_L_per_100km') / fuel('fuel_stop_start_L_per_100km'));
    expect(report.objective.after).toBeCloseTo(saving, 10);
    expect(report.means.tuned.after.saving_vs_stop_start_pct).toBeCloseTo(saving, 10);
    expect(report.held_back!.after).toBeCloseTo(nycc!.after.saving_vs_stop_start_pct!, 10);
    expect(report.objective.after).toBe(best.figure);
    expect(best.figure).toBe(Math.max(...trials.map(({ figure }) => figure)));
    expect(report.numbers.map(({ after }) => after)).toEqual(best.values);
    // The same numbers from the start give the same figures.
    const [stop, power] = best.values;
    const strategy = { ...KEEP_OFF, keep_off: { stop_above_pct: stop, max_power_kW: power } };
    const again = await tunedBy({ ...SMALL, cycles: [HILLS, STOPS], strategy, budget: ONE });
    expect(again.report.cycles[0]!.before).toEqual(hills!.after);
  });

  it('can make the worst cycle the best, or the fuel the least', async () => {
    const both = { ...SMALL, cycles: [HILLS, STOPS] };
    const worst = await tunedBy({
      ...both,
      objective: { figure: 'saving_vs_baseline_pct', over: 'worst' },
    });
    const savings = worst.report.cycles.map(({ after }) => after.saving_vs_baseline_pct!);
    expect(worst.report.objective.after).toBe(Math.min(...savings));
    const fuel = await tunedBy({
      ...both,
      objective: { figure: 'fuel_store_L_per_100km', over: 'worst' },
    });
    const fuels = fuel.report.cycles.map(({ after }) => after.fuel_store_L_per_100km!);
    expect(fuel.report.objective.after).toBe(Math.max(...fuels));
    expect(fuel.report.objective.gain).toBe(
      fuel.report.objective.before - fuel.report.objective.after,
    );
  });

  it('never lets what is held back weigh in the choice', async () => {
    const shares = { hills: 0.3, stops: 0.4 };
    const plain = { ...SMALL, cycles: [HILLS, STOPS] };
    const without = await tunedBy({ ...plain, cycle_shares: shares });
    for (const [held_back, more] of [
      [['nycc'], {}],
      [['nycc', 'japan-10-15'], { nycc: 0.7, 'japan-10-15': 0.1 }],
    ] as const) {
      const held = await tunedBy({ ...plain, held_back, cycle_shares: { ...shares, ...more } });
      expect(held.report.numbers).toEqual(without.report.numbers);
      expect(held.trials.map(({ values }) => values)).toEqual(
        without.trials.map(({ values }) => values),
      );
      expect(held.report.cycles.filter((cycle) => cycle.held_back)).toHaveLength(held_back.length);
    }
  });

  it('holds its constraints, whatever they cost', async () => {
    const town = { ...SMALL, cycles: ['nycc'] };
    const free = await tunedBy({ ...town, constraints: [{ figure: STARTS, at_most: 99 }] });
    const startsOf = (tuned: typeof free) => tuned.best.rows[0]!.figures;
    const limit = { figure: STARTS, of: 'change', at_most: 0 };
    const held = await tunedBy({ ...town, constraints: [limit] });
    const [constraint] = held.report.constraints;
    expect(constraint!.after).toMatchObject({ holds: true, cycle: 'nycc' });
    expect(startsOf(held).of(STARTS)).toBeLessThanOrEqual(
      held.trials[0]!.rows[0]!.figures.of(STARTS),
    );
    expect(constraint!.after.slack).toBe(0 - constraint!.after.value!);
    // The limit is one that matters: without it, starts buy a saving.
    expect(startsOf(free).of(STARTS)).toBeGreaterThan(held.trials[0]!.rows[0]!.figures.of(STARTS));
    expect(held.report.objective.after).toBeLessThan(free.report.objective.after);
  });

  it('finds its way to numbers that hold, from some that do not', async () => {
    const limit = { figure: STARTS, at_most: 4 };
    const { report } = await tunedBy({ ...SMALL, cycles: ['nycc'], constraints: [limit] });
    expect(report.constraints[0]!.before.holds).toBe(false);
    expect(report.constraints[0]!.after.holds).toBe(true);
    expect(report.feasible).toBe(true);
  });

  it('says so where nothing holds, and then shows what misses by least', async () => {
    const limit = { figure: STARTS, at_most: 0.1 };
    const { report, trials, best } = await tunedBy({ ...SMALL, constraints: [limit] });
    expect(report.feasible).toBe(false);
    expect(trials.every(({ state }) => state !== 'held')).toBe(true);
    const missed = trials
      .filter(({ state }) => state === 'broken')
      .map(({ merit }) => merit.violations[0]!);
    expect(best.merit.violations[0]).toBe(Math.min(...missed));
  });

  it('takes no saving for a trace that is not driven', async () => {
    const { report } = await tunedBy(SMALL);
    expect(report.constraints).toMatchObject([
      { name: 'every trace is followed', limits: { at_most: 0.5 } },
    ]);
    const own = { figure: 'shortfall_pct_of_tractive', at_most: 3 };
    const replaced = await tunedBy({ ...SMALL, constraints: [own], budget: ONE });
    expect(replaced.report.constraints).toMatchObject([{ limits: { at_most: 3 } }]);
    const weak = { ...SMALL, car: 'bus', store: 'large', cycles: ['us06'], budget: ONE };
    expect((await tunedBy(weak)).report.constraints).toMatchObject([
      { name: 'no trace is followed less than at the start', of: 'change', limits: { at_most: 0 } },
    ]);
  });

  it('passes over numbers that no file could have together, and counts them', async () => {
    // The engine may not stop below the floor at which it starts again.
    const { report, trials } = await tunedBy({
      ...SMALL,
      vary: [SMALL.vary[0], { path: 'strategy.keep_off.floor_pct', from: 0, to: 80 }],
    });
    const refused = trials.filter(({ state }) => state === 'refused');
    expect(refused.length).toBeGreaterThan(0);
    for (const { values } of refused) expect(values[0]).toBeLessThan(values[1]!);
    expect(report.search).toMatchObject({ refused: refused.length, failed: 0 });
    expect(report.search.reason).toContain('floor_pct');
    const [stop, floor] = report.numbers;
    expect(stop!.after).toBeGreaterThanOrEqual(floor!.after);
  });

  it('passes over numbers with which a plug-in fails, and says why', async () => {
    const plugIn = `export default ({ share }) => ({
      name: 'eager',
      decide(see, want) { want.storePower = share * see.assistLimit - see.recoverLimit * (see.wheelPower < 0); },
    });`;
    const eager = { name: 'eager', plugin: { module: './eager.mjs', parameters: { share: 0.5 } } };
    const { report, trials } = await tunedBy(
      {
        ...SMALL,
        strategy: eager,
        vary: [{ path: 'strategy.plugin.parameters.share', from: 0, to: 2 }],
      },
      { 'eager.mjs': plugIn },
    );
    const failed = trials.filter(({ state }) => state === 'failed');
    expect(failed.length).toBeGreaterThan(0);
    for (const { values } of failed) expect(values[0]).toBeGreaterThan(1);
    expect(report.search.reason).toContain('within the envelope');
    expect(report.numbers[0]!.after).toBeLessThanOrEqual(1);
  });

  it('is refused where its figures have no value to begin with', async () => {
    const text = { figure: 'saving_balance_method', at_least: 1 };
    expect(await problemsOf(tunedBy({ ...SMALL, constraints: [text] }))).toMatchObject([
      { code: 'no-figure', file: expect.stringMatching(/tune\.json$/), path: 'constraints[0]' },
    ]);
    const noChange = { figure: 'shortfall_energy_kJ', of: 'change_pct', over: 'each', at_most: 5 };
    // Nothing is missing before or after, which is no change.
    expect(
      (await tunedBy({ ...SMALL, constraints: [noChange], budget: ONE })).report.feasible,
    ).toBe(true);
  });

  it('tells how much hangs on a number', async () => {
    const { report, best } = await tunedBy({
      ...SMALL,
      vary: [
        ...SMALL.vary,
        // Speeds that the drive never comes to: nothing can hang on this number.
        { path: 'strategy.coast.max_speed_kmh', from: 100, to: 200 },
      ],
      strategy: { ...KEEP_OFF, coast: {} },
    });
    const [stop, power, speed] = report.numbers;
    expect(speed!.moved.map(({ loss }) => loss)).toEqual([0, 0]);
    for (const { moved } of [stop!, power!]) {
      for (const { loss, state } of moved)
        if (state === 'held') expect(loss).toBeGreaterThanOrEqual(0);
    }
    const [low, high] = stop!.best_tenth!;
    expect(low).toBeLessThanOrEqual(best.values[0]!);
    expect(high).toBeGreaterThanOrEqual(best.values[0]!);
  });
});

describe('a tune that is run again', () => {
  it('runs no case twice, and goes the same way', async () => {
    const tune = await tuneOf(SMALL);
    const folder = newFolder();
    const first = await Bench.of(tune, folder);
    const once = await runTune(tune, first, () => undefined);
    expect(new Set(first.ran).size).toBe(first.ran.length);
    const second = await Bench.of(tune, folder);
    const again = await runTune(tune, second, () => undefined);
    expect(second.ran).toEqual([]);
    expect(again.report).toEqual(once.report);
    // A larger budget is not another tune: only what is new is run.
    const larger = { ...tune, evaluations: 60 };
    const third = await Bench.of(larger, folder);
    const more = await runTune(larger, third, () => undefined);
    expect(third.ran.filter((hash) => first.ran.includes(hash))).toEqual([]);
    expect(more.report.objective.after).toBeGreaterThanOrEqual(once.report.objective.before);
  });

  it('stops at the signal, and ends as if it had not', async () => {
    const tune = await tuneOf(SMALL);
    const whole = await runTune(tune, await Bench.of(tune), () => undefined);
    const folder = newFolder();
    for (const after of [1, 9, 30]) {
      const control = new AbortController();
      const bench = await Bench.of(tune, folder, control.signal);
      const stopAfter = ({ tried }: { tried: number }) => {
        if (tried >= after) control.abort();
      };
      await expect(runTune(tune, bench, stopAfter)).rejects.toThrow(Stopped);
    }
    const end = await runTune(tune, await Bench.of(tune, folder), () => undefined);
    expect(end.report).toEqual(whole.report);
    expect(end.trials.map(({ values, state }) => [values, state])).toEqual(
      whole.trials.map(({ values, state }) => [values, state]),
    );
    expect(isFeasible(end.best.merit)).toBe(true);
  });
});

const ONE = { evaluations: 1, seed: 1 };

/** The shipped strategy, to be written with other numbers. */
const KEEP_OFF = {
  name: 'keep-off',
  stop_start: {},
  keep_off: { stop_above_pct: 15, floor_pct: 3, max_power_kW: 20 },
  recover: {},
  assist: { launch_below_kmh: 15, acceleration_above_m_per_s2: 0.8, floor_pct: 15 },
};
